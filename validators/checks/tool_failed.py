"""The program itself failed on the file.

What it finds: a fault of our own while a file was being checked.
Why it matters: nothing is said about the file; the rest of the run goes on.
Example: an unexpected value in a place nobody thought of.
What to do: report it with the file; the log holds what happened.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "TOOL01"
NAME = "tool-failed"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """Say nothing here: the run itself reports it."""
    yield from ()
