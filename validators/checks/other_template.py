"""The workbook was written from other templates than those here.

What it finds: a template version that this program does not know.
Why it matters: its cells stand elsewhere and its formulas are others.
Example: template version 7, where 1 is known.
What to do: check it with the program that wrote it.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "BIRTH02"
NAME = "other-template"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """Say why the file could not be read."""
    yield from sheet.unreadable_as(CODE)
