"""The file is built in a way that is not safe to read.

What it finds: a file far larger than a workbook of ours, or one in which two programs would see two
different workbooks; an archive or a mail that holds far too much, or that is packed too deep.
Why it matters: it may be damaged or hostile; it is not read further.
Example: two parts with one name.
What to do: open it in a spreadsheet program, save it under a new name and send that.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "FILE05"
NAME = "unsafe-structure"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """Say why the file could not be read."""
    yield from sheet.unreadable_as(CODE)
