"""A printed text or a constant was changed.

What it finds: a label, heading, unit or constant that is not as written.
Why it matters: a changed constant changes every result that uses it; a changed label lets a number be read
as something else. Verdicts in the report come from the constants as they were written.
Example: the expansion of steel, 11.7, changed to 12.5 on the constants sheet.
What to do: put back what was printed, or take the readings over into the workbook that was issued.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sheetgen.plan import PlannedCell
from validators.checked import Checked, shown_value
from validators.errors import quoted
from validators.findings import Note, Severity
from validators.together import MOST_APART, addresses

CODE = "CELL08"
NAME = "printed-changed"
SEVERITY = Severity.LOOK
TODO = "Put back what was printed, or take the readings over into the workbook that was issued."
LONGEST_TEXT = 80


def find(sheet: Checked) -> Iterator[Note]:
    """List constants one by one, and texts sheet by sheet."""
    texts: dict[str, list[PlannedCell]] = {}
    over = {sheet.place(sheet.plan.by_name[name]) for name in sheet.astray}
    covered = {(place.sheet, place.cell) for place in over}
    for cell in sheet.reprinted.values():
        place = sheet.place(cell)
        if (place.sheet, place.cell) in covered:
            continue  # a cell was pasted over it: said there
        if cell.name:
            yield _constant(sheet, cell)
        else:
            texts.setdefault(cell.sheet, []).append(cell)
    for cells in texts.values():
        if len(cells) <= MOST_APART:
            yield from (_text(sheet, cell) for cell in cells)
        else:
            yield _texts(sheet, cells)


def _constant(sheet: Checked, cell: PlannedCell) -> Note:
    unit = sheet.plan.unit(cell.key)
    printed = cell.value if isinstance(cell.value, str) else f"{cell.value:.10g} {unit}".rstrip()
    return Note(
        place=sheet.place(cell),
        quantity=cell.name,
        severity=Severity.BLOCKS,
        found=_now(sheet, cell, unit),
        expected=f"{printed}, as the workbook was written",
        todo=TODO,
        holds_up=sheet.holds_up([cell.name]),
    )


def _text(sheet: Checked, cell: PlannedCell) -> Note:
    return Note(
        place=sheet.place(cell),
        found=_now(sheet, cell),
        expected=quoted(str(cell.value), LONGEST_TEXT),
        todo=TODO,
    )


def _texts(sheet: Checked, cells: Sequence[PlannedCell]) -> Note:
    told = addresses([sheet.place(cell).cell for cell in cells])
    return Note(
        place=sheet.place(cells[0]),
        found=f"{len(cells)} printed texts are not as written: {told}; "
        f"the first reads {_now(sheet, cells[0])}",
        expected=quoted(str(cells[0].value), LONGEST_TEXT),
        todo=TODO,
    )


def _now(sheet: Checked, cell: PlannedCell, unit: str = "") -> str:
    held = sheet.held(cell)
    if held is None:
        return "nothing"
    if held.formula is not None:
        return f"the formula {quoted('=' + held.formula)}"
    return shown_value(held, unit)
