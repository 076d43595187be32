"""The sheet and the reference core do not agree.

What it finds: a result for which the formula as it was written and the reference core give different values from the same entries.
Why it matters: one of our two statements is wrong: a fault of this program, not of the sheet.
Example: the rock angle of cylinder 3 differs in the sixth digit.
What to do: do not use this result; report it with the file.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.agree import agrees
from validators.cell_values import ErrorValue
from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "CALC03"
NAME = "statements-disagree"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """Compare the two recomputations, result by result."""
    for cell in sheet.recomputer.computed:
        found, expected = sheet.recalculated.get(cell.name), sheet.reference.get(cell.name)
        shown = str(found) if isinstance(found, ErrorValue) else found
        if not agrees(shown, expected):
            yield Note(
                place=sheet.place(cell),
                quantity=cell.name,
                found=f"{shown!r} by the formula",
                expected=f"{expected!r} by the reference core",
                todo="Do not use this result; report it with the file.",
            )
