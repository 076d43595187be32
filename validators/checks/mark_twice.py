"""A mark stands twice, or the wrong part is in a place.

What it finds: the same mark on two pistons, rods or ring sets; a crown whose mark is not the piston measured for that bore.
Why it matters: a part in the wrong place makes a measured clearance worthless.
Example: pistons 2 and 5 are both marked P2.
What to do: look at the parts and correct the marks.
"""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen.plan import PlannedCell
from validators.errors import quoted
from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "READ07"
NAME = "mark-twice"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """Group the marks of each kind, and compare crowns with pistons."""
    plan = sheet.plan
    for key in ("piston_mark", "rod_mark", "ring_mark", "main_grade_name", "rod_grade_name"):
        seen: dict[object, list[PlannedCell]] = {}
        for cell in plan.by_key[key]:
            value = sheet.values[cell.name]
            if value is not None:
                seen.setdefault(bare(value), []).append(cell)
        for cells in seen.values():
            if len(cells) > 1:
                places = ", ".join(sheet.place(cell).cell for cell in cells)
                yield Note(
                    place=sheet.place(cells[1]),
                    quantity=cells[1].name,
                    found=f"{quoted(str(sheet.values[cells[1].name]))} in {len(cells)} places: {places}",
                    expected="every mark only once",
                    todo="Look at the parts and correct the marks.",
                )
    for crown, piston in zip(plan.by_key["crown_mark"], plan.by_key["piston_mark"], strict=True):
        read, measured = sheet.values[crown.name], sheet.values[piston.name]
        if read is not None and measured is not None and bare(read) != bare(measured):
            yield Note(
                place=sheet.place(crown),
                quantity=crown.name,
                found=f"the crown reads {quoted(str(read))}",
                expected=f"{quoted(str(measured))}, the piston measured for this bore",
                todo="Put the piston where it was measured for, or measure again as it is.",
            )


def bare(value: float | str) -> object:
    """Return a mark without regard to case and spaces at its ends."""
    return value.strip().casefold() if isinstance(value, str) else f"{value:g}"
