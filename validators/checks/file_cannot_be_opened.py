"""The file cannot be opened.

What it finds: a path that does not exist, a folder, an empty file, or one that may not be read.
Why it matters: nothing can be said about a job whose sheet was not opened.
Example: job-0042.xlsx is empty.
What to do: send the file again, or give the right path.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "FILE01"
NAME = "file-cannot-be-opened"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """Say why the file could not be read."""
    yield from sheet.unreadable_as(CODE)
