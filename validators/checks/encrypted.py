"""The file needs a password.

What it finds: a workbook that was encrypted when it was saved, alone or in an archive with a password.
Why it matters: it cannot be read without the password, and none is asked for.
Example: job-0042.xlsx, encrypted.
What to do: save it without a password and send it again.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "FILE03"
NAME = "encrypted"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """Say why the file could not be read."""
    yield from sheet.unreadable_as(CODE)
