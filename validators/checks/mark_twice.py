"""A mark stands twice, or the wrong part is in a place.

What it finds: the same mark on two pistons, rods, ring sets or shell grades; a crown whose mark is not the
piston measured for that bore. Capitals and spaces at the ends do not matter, and the number 1 is the mark
"1".
Why it matters: a part in the wrong place makes a measured clearance worthless.
Example: pistons 2 and 3 are both marked P2.
What to do: look at the parts and correct the marks.
"""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen.plan import PlannedCell
from validators.checked import Checked
from validators.findings import Note, Severity
from validators.marks import bare, same_mark, shown_mark
from validators.together import addresses

CODE = "READ07"
NAME = "mark-twice"
SEVERITY = Severity.BLOCKS
PISTONS = "piston_mark"
UNIQUE = (PISTONS, "rod_mark", "ring_mark", "ring_mark_fitted", "main_grade_name", "rod_grade_name")


def find(sheet: Checked) -> Iterator[Note]:
    """Group the marks of each kind, and compare crowns with pistons."""
    doubled: set[str] = set()
    for key in UNIQUE:
        seen: dict[str, list[PlannedCell]] = {}
        for cell in sheet.plan.by_key[key]:
            value = sheet.values[cell.name]
            if value is not None:
                seen.setdefault(bare(value), []).append(cell)
        for mark, cells in seen.items():
            if len(cells) > 1:
                doubled.update([mark] if key == PISTONS else [])
                yield _twice(sheet, cells)
    crowns, pistons = sheet.plan.by_key["crown_mark"], sheet.plan.by_key[PISTONS]
    for crown, piston in zip(crowns, pistons, strict=True):
        read, measured = sheet.values[crown.name], sheet.values[piston.name]
        if read is None or measured is None or bare(measured) in doubled:
            continue
        if not same_mark(read, measured):
            yield _crown(sheet, crown, read, measured)


def _twice(sheet: Checked, cells: list[PlannedCell]) -> Note:
    values = [value for cell in cells if (value := sheet.values[cell.name]) is not None]
    spelt = "" if all(v == values[0] for v in values) else (
        " (spelt " + ", ".join(shown_mark(value) for value in values) + ")"
    )
    told = addresses([sheet.place(cell).cell for cell in cells])
    return Note(
        place=sheet.place(cells[1]),
        quantity=cells[1].name,
        found=f"{shown_mark(values[1])} in {len(cells)} places, {told}{spelt}",
        expected="every mark only once",
        todo="Look at the parts and correct the marks.",
    )


def _crown(sheet: Checked, crown: PlannedCell, read: float | str, measured: float | str) -> Note:
    only_spelt = bare(read) == bare(measured)
    return Note(
        place=sheet.place(crown),
        quantity=crown.name,
        severity=Severity.LOOK if only_spelt else None,
        found=f"the crown reads {shown_mark(read)}",
        expected=f"{shown_mark(measured)}, the piston measured for this bore",
        todo="Type both marks in one way: the sheet takes them for two pistons." if only_spelt
        else "Put the piston where it was measured for, or measure again as it is.",
    )
