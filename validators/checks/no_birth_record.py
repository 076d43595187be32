"""The workbook is not one of ours, or has lost its birth record.

What it finds: a workbook without the hidden sheet that says what it was written from.
Why it matters: without it nobody can tell what the cells should hold.
Example: somebody else's price list.
What to do: send the workbook that was issued for the job.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "BIRTH01"
NAME = "no-birth-record"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """Say why the file could not be read."""
    yield from sheet.unreadable_as(CODE)
