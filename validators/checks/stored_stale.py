"""Stored values are not what the entries give.

What it finds: formula cells whose stored value differs from what the entries give, although nothing that
they rest on was changed. Where the last binary digit of what was typed decides between two rounded values,
that is no difference.
Why it matters: the file was saved without recalculating, or another program computes differently: whoever
looked at it saw wrong numbers.
Example: the stored clearance of cylinder 2 is 0.055 mm, the readings give 0.061 mm.
What to do: trust the recomputed values; open the file, recalculate and save it.
"""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen.plan import PlannedCell
from validators.agree import agrees
from validators.cell_values import ErrorValue
from validators.checked import Checked, shown_value
from validators.findings import Note, Severity
from validators.recompute import Shown
from validators.returned import ReturnedCell
from validators.together import addresses

CODE = "CALC02"
NAME = "stored-result-stale"
SEVERITY = Severity.LOOK


def find(sheet: Checked) -> Iterator[Note]:
    """Compare stored values with what the entries give, once per file."""
    stale = [
        (cell, held, value)
        for cell, held, value in _stale(sheet)
        if not sheet.moved_copies.decide(cell, _stored(held), value)
    ]
    if not stale:
        return
    cell, held, value = stale[0]
    unit = sheet.plan.unit(cell.key) if cell.key else ""
    places = [f"{cell.sheet}!{sheet.place(cell).cell}" for cell, _, _ in stale[1:]]
    more = f"; and {len(places)} more: {addresses(places)}" if places else ""
    yield Note(
        place=sheet.place(cell),
        quantity=cell.name,
        found=f"the stored value {shown_value(held, unit)}{more}",
        expected=_told(value, unit),
        todo="Trust the recomputed values; open the file, recalculate and save it.",
    )


def _stale(sheet: Checked) -> Iterator[tuple[PlannedCell, ReturnedCell, Shown]]:
    doubtful, altered = sheet.doubtful, sheet.altered
    cells, recalculated, floors = sheet.cells, sheet.recalculated, sheet.recompute.fixed.floors
    for cell in sheet.recompute.computed:
        held, again = cells[cell.name], recalculated.get(cell.name)
        if held is None or held.kind == "blank" or _is_same(held, again) or cell.name in doubtful:
            continue
        value, stored, floor = sheet.reference.get(cell.name), _stored(held), floors[cell.name]
        by_formula = not isinstance(again, ErrorValue) and agrees(stored, again, floor)
        if not by_formula and not agrees(stored, value, floor):
            yield cell, held, value
    for key, cell, _ in sheet.recompute.fixed.only_formulas:
        held, again = cells[key], recalculated.get(key)
        if held is None or held.kind == "blank" or _is_same(held, again) or key in altered:
            continue
        if key in doubtful or (doubtful and sheet.recompute.dependence.cells_in(cell.formula) & doubtful):
            continue
        if not isinstance(again, ErrorValue) and not agrees(_stored(held), again, floors[key]):
            yield cell, held, again


def _is_same(held: ReturnedCell, again: Shown | ErrorValue) -> bool:
    """Return whether a stored number or text is, to the last digit, what its formula gives."""
    return held.value == again and type(held.value) is type(again) and type(again) in (float, str)


def _stored(held: ReturnedCell) -> float | str | None:
    if isinstance(held.value, bool):
        return str(held.value)
    return held.raw if held.value is None else held.value


def _told(value: Shown, unit: str) -> str:
    if value is None or value == "":
        return "nothing: an entry it needs is missing or not usable"
    return f"'{value}'" if isinstance(value, str) else f"{value:.10g} {unit}".rstrip()
