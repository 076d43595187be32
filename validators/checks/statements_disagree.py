"""The sheet and the reference core do not agree.

What it finds: a result for which the formula as it was written and the reference core give different
values from the same entries. Where the last binary digit of what was typed decides between two rounded
values, that is no difference.
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
from validators.together import together

CODE = "CALC03"
NAME = "statements-disagree"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """Compare the two recomputations, result by result; what rests on a spoilt entry is left out."""
    return together(sheet, _different(sheet))


def _different(sheet: Checked) -> Iterator[Note]:
    spoilt, floors = sheet.spoilt, sheet.recompute.fixed.floors
    recalculated, reference = sheet.recalculated, sheet.reference
    for cell in sheet.recompute.computed:
        found, expected = recalculated.get(cell.name), reference.get(cell.name)
        if found == expected and type(found) is type(expected):
            continue
        shown = str(found) if isinstance(found, ErrorValue) else found
        if cell.name in spoilt or agrees(shown, expected, floors[cell.name]):
            continue
        if not sheet.moved_copies.decide(cell, shown, expected):
            yield Note(
                place=sheet.place(cell),
                quantity=cell.name,
                found=f"{shown!r} by the formula",
                expected=f"{expected!r} by the reference core",
                todo="Do not use this result; report it with the file.",
            )
