"""Rows or columns were inserted or deleted, or a cell was cut and put elsewhere.

What it finds: named cells that stand elsewhere than they were written; apart from these, cells that left
the row or column they are printed in, or that share a place with another name.
Why it matters: a reading is found through its name. Where a whole row moved, its label moved with it; a
cell that was cut and pasted still counts for the cylinder it was cut from, whatever stands beside it now.
Example: the reading of cylinder 1 was cut and pasted into the row of cylinder 2.
What to do: take the readings over into the workbook that was issued; do not cut, insert or delete.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from sheetgen.plan import PlannedCell
from validators.checked import Checked
from validators.findings import Note, Severity
from validators.together import addresses

CODE = "CELL10"
NAME = "cells-moved"
SEVERITY = Severity.LOOK
TODO = "Take the readings over into the workbook that was issued; do not cut, insert or delete."


def find(sheet: Checked) -> Iterator[Note]:
    """Say once per sheet which cells went astray, and which rows moved."""
    if sheet.places.nothing_moved:
        return
    located = [sheet.located[name] for name in sheet.plan.by_name]
    places = Counter((at.sheet.casefold(), at.address) for at in located if at.cell is not None)
    for title in sheet.cells_of:
        named = [
            cell for cell in sheet.cells_of[title] if cell.name and sheet.held(cell) is not None
        ]
        shared = {
            cell.name for cell in named
            if places[sheet.located[cell.name].sheet.casefold(), sheet.located[cell.name].address] > 1
        }
        astray = [cell for cell in named if cell.name in sheet.astray]
        moved = [
            cell for cell in named
            if cell.name not in sheet.astray and sheet.located[cell.name].moved != (0, 0)
        ]
        if astray:
            yield _astray(sheet, astray, shared)
        if moved and not any(cell.name in sheet.gone for cell in sheet.cells_of[title] if cell.name):
            yield _moved(sheet, moved)


def _astray(sheet: Checked, cells: Sequence[PlannedCell], shared: set[str]) -> Note:
    first = cells[0]
    told = addresses([f"{cell.address} to {sheet.place(cell).cell}" for cell in cells])
    over = [sheet.plan.by_name[name] for name, by in sheet.pasted_over.items() if by == first.name]
    where = f", over {sheet.label(over[0])}" if over else (
        ", where another name stands" if first.name in shared else ", where it is not printed"
    )
    count = "the cell went" if len(cells) == 1 else f"{len(cells)} cells went"
    names = {cell.name for cell in cells}
    covered = [name for name, by in sheet.pasted_over.items() if by in names]
    return Note(
        place=sheet.place(first),
        quantity=first.name,
        severity=Severity.BLOCKS,
        found=f"{count} from {told}{where if len(cells) == 1 else ''}",
        expected=f"{sheet.label(first)} at {first.sheet}!{first.address}",
        todo=TODO,
        holds_up=sheet.holds_up([*names, *covered]),
    )


def _moved(sheet: Checked, cells: Sequence[PlannedCell]) -> Note:
    first = cells[0]
    rows, columns = sheet.located[first.name].moved
    far = " and ".join(
        f"{abs(step)} {what}{'s' if abs(step) > 1 else ''} {way[step > 0]}"
        for step, what, way in ((rows, "row", ("up", "down")), (columns, "column", ("left", "right")))
        if step
    )
    return Note(
        place=sheet.place(first),
        quantity=first.name,
        found=f"{len(cells)} named cells stand elsewhere, their labels with them; the first moved {far}",
        expected=f"{sheet.label(first)} at {first.address}",
        todo=TODO,
    )
