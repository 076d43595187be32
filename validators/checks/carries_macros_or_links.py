"""The file carries macros, or links to the outside.

What it finds: macros, embedded objects, links to other workbooks or live data.
Why it matters: a workbook of ours has none of these: somebody added them, and they could run or bring in
numbers from elsewhere.
Example: a macro project inside job-0042.xlsx.
What to do: copy the readings into the workbook that was sent out, and return that.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "FILE04"
NAME = "carries-macros-or-links"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """Say why the file could not be read."""
    yield from sheet.unreadable_as(CODE)
