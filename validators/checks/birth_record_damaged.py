"""The birth record cannot be read.

What it finds: a hidden sheet whose build definition is cut or changed.
Why it matters: the plan cannot be made again from it.
Example: a build definition that ends in the middle.
What to do: send the workbook that was issued for the job.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "BIRTH03"
NAME = "birth-record-damaged"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """Say why the file could not be read."""
    fault = sheet.unreadable
    if fault is not None and fault.code == CODE:
        yield Note(place=sheet.of_file(), found=fault.found, expected=fault.expected, todo=fault.todo)
