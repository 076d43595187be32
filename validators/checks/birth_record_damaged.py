"""The birth record cannot be read, or was edited.

What it finds: a hidden sheet whose build definition is cut or changed, or does not give the plan that its
digest names.
Why it matters: what the cells should hold, limits among them, cannot be made again from it.
Example: a limit that was moved in the hidden sheet as well, so that it would look as issued.
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
    yield from sheet.unreadable_as(CODE)
