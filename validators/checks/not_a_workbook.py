"""The file is no workbook that can be read.

What it finds: another kind of file under the name of a workbook, or a workbook, an archive or a mail that was
cut short on its way.
Why it matters: only an .xlsx or .ods workbook carries the cells and names that are checked.
Example: a web page saved as job-0042.xlsx.
What to do: save it as an .xlsx workbook and send that.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "FILE02"
NAME = "not-a-workbook"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """Say why the file could not be read."""
    yield from sheet.unreadable_as(CODE)
