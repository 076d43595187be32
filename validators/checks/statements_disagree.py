"""The sheet and the reference core do not agree.

What it finds: a result for which the formula as it was written and the reference core give different
values from the same entries. Where the last binary digit of what was typed decides between two rounded
values, that is no difference.
Why it matters: one of our two statements is wrong: a fault of this program, not of the sheet.
Example: the rock angle of cylinder 3 differs in the sixth digit.
What to do: do not use this result; report it with the file.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from validators.agree import agrees
from validators.cell_values import ErrorValue
from validators.checked import Checked
from validators.findings import Note, Severity
from validators.last_digit import decided, moved
from validators.recompute import Shown
from validators.together import together

CODE = "CALC03"
NAME = "statements-disagree"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """Compare the two recomputations, result by result; what rests on a spoilt entry is left out."""
    notes = list(_different(sheet))
    if notes:
        copies = sheet.recompute.reference(moved(sheet.values, 0))
        notes = [note for note in notes if not _last_digit(sheet, note.quantity, copies)]
    return together(sheet, notes)


def _last_digit(sheet: Checked, name: str, copies: Mapping[str, Sequence[Shown]]) -> bool:
    found = sheet.recalculated.get(name)
    return not isinstance(found, ErrorValue) and decided(found, sheet.reference.get(name), copies[name])


def _different(sheet: Checked) -> Iterator[Note]:
    spoilt, entries = sheet.spoilt, sheet.plan.catalogue.entries
    for cell in sheet.recompute.computed:
        found, expected = sheet.recalculated.get(cell.name), sheet.reference.get(cell.name)
        shown = str(found) if isinstance(found, ErrorValue) else found
        floor = entries[cell.key].floor
        if cell.name not in spoilt and not agrees(shown, expected, floor):
            yield Note(
                place=sheet.place(cell),
                quantity=cell.name,
                found=f"{shown!r} by the formula",
                expected=f"{expected!r} by the reference core",
                todo="Do not use this result; report it with the file.",
            )
