"""Names of cells are missing, point nowhere or point elsewhere.

What it finds: defined names that were deleted, whose cells were deleted, or that speak of other cells than
they were written for.
Why it matters: formulas speak in names. Without one they cannot compute, and with a wrong one they compute
from other cells although not a letter of them has changed.
Example: the row of cylinder 3 was deleted, so bore_reading_3_top_thrust points nowhere.
What to do: take the readings over into the workbook that was issued, and do not delete rows.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sheetgen.plan import PlannedCell
from validators.checked import Checked
from validators.findings import Note, Severity
from validators.together import counted

CODE = "CELL05"
NAME = "name-broken"
SEVERITY = Severity.BLOCKS
TODO = "Take the readings over into the workbook that was issued; do not delete or change rows and names."
MOST_NAMED = 3


def find(sheet: Checked) -> Iterator[Note]:
    """List names that are missing or broken, once per sheet and kind."""
    names = sheet.returned.names
    if names.keys().isdisjoint(sheet.plan.by_name):
        yield Note(
            place=sheet.of_file(),
            found="not one of the names that the formulas speak in",
            expected="every named cell of the workbook that was issued",
            todo=TODO,
        )
        return
    for title, cells in () if sheet.places.nothing_moved else sheet.cells_of.items():
        named = [cell for cell in cells if cell.name]
        nowhere = [
            cell for cell in named
            if cell.name in names and sheet.held(cell) is None and cell.name not in sheet.pasted_over
        ]
        missing = [cell for cell in named if cell.name not in names]
        if nowhere:
            yield _of_cells(sheet, title, nowhere, "point to no cell (deleted, or the name changed)")
        if missing:
            yield _of_cells(sheet, title, missing, "are missing")
    yield from _of_ranges(sheet)
    yield from _second_names(sheet)


def _of_cells(sheet: Checked, title: str, cells: Sequence[PlannedCell], what: str) -> Note:
    told = ", ".join(f"{cell.name} ({sheet.label(cell)})" for cell in cells[:MOST_NAMED])
    more = f" and {len(cells) - MOST_NAMED} more" if len(cells) > MOST_NAMED else ""
    return Note(
        place=sheet.of_file(sheet.places.titles[title] or title, sheet.label(cells[0])),
        quantity=cells[0].name,
        found=f"{counted(len(cells), 'name')} {_one(what, len(cells))}: {told}{more}",
        expected="every named cell of the workbook that was issued",
        todo=TODO,
        holds_up=sheet.holds_up(cell.name for cell in cells),
    )


def _one(what: str, count: int) -> str:
    if count > 1:
        return what
    return what.replace("are", "is", 1).replace("point ", "points ", 1)


def _of_ranges(sheet: Checked) -> Iterator[Note]:
    broken = sheet.places.broken_ranges()
    if broken:
        name, what = next(iter(broken.items()))
        title = sheet.plan.names[name][0]
        yield Note(
            place=sheet.of_file(sheet.places.titles[title] or title),
            quantity=name,
            found=f"{counted(len(broken), 'name')} of ranges {_one('are', len(broken))} not right: "
            f"{name} {what}",
            expected="names that cover the cells they were written for",
            todo=TODO,
            holds_up=sheet.holds_up(m for other in broken for m in sheet.places.members(other)),
        )


def _second_names(sheet: Checked) -> Iterator[Note]:
    """List names that hold on one sheet only and hide ours there."""
    ours = {now.casefold() for now in sheet.places.titles.values() if now is not None}
    for held in sheet.returned.sheets:
        hiding = sorted(name for name in held.names if name in sheet.plan.names)
        if hiding and held.title.casefold() in ours:
            yield Note(
                place=sheet.of_file(held.title),
                quantity=hiding[0],
                found=f"{counted(len(hiding), 'name')} of this sheet only, hiding the one that all sheets "
                f"share: {', '.join(hiding[:MOST_NAMED])}",
                expected="one name for one cell in the whole workbook",
                todo=TODO,
                holds_up=sheet.holds_up(hiding),
            )
