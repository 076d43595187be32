"""Cells without a name: the figure that each shows again, the count of what a block lacks, what first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import cast

from sheetgen.naming import Names, element_name
from sheetgen.plan import Plan, PlannedCell
from sheetgen.planned import cell_address

Shown = float | str | None


def repeated_name(plan: Plan, cell: PlannedCell) -> str:
    """Return the name of the cell whose figure a cell without a name shows again."""
    if cell.role in ("missing", "first_gap_label"):
        stem = next(s.template.stem for s in plan.sheets if s.template.title == cell.sheet)
        return element_name("stage_missing", (stem,))
    loop = dict(cast("Sequence[tuple[str, str]]", cell.index))  # an echo's index is the loop it stands in
    place = f"{cell.sheet}!{cell.address}"
    return element_name(*Names(plan.build, plan.catalogue).target(cell.key, None, loop, place))


def repeated(
    plan: Plan,
    cell: PlannedCell,
    batch: Sequence[Mapping[str, Shown]],
    by_core: Mapping[str, Sequence[Shown]],
) -> Sequence[Shown]:
    """Return what a cell without a name must show: what it repeats, how much a block lacks, what first."""
    if cell.role == "gap":
        wanted = [member.name for key in cell.index for member in plan.by_key[key]]
        return [float(sum(entries.get(one) in (None, "") for one in wanted)) for entries in batch]
    if cell.role == "gap_mark":
        return [float(any(entries.get(name) in (None, "") for name in cell.index)) for entries in batch]
    if cell.role in ("first_gap", "gap_now"):
        members = sorted((one.row, one.column, one.name) for key in cell.index for one in plan.by_key[key])
        first = {row: column for row, column, _ in reversed(members)}
        told = _title_left_of if cell.role == "first_gap" else _link_to
        return [
            next(
                (
                    told(plan, cell.sheet, row, first[row])
                    for row, _, name in members if entries.get(name) in (None, "")
                ),
                "",
            )
            for entries in batch
        ]
    name = repeated_name(plan, cell)
    if cell.role == "first_gap_label":
        return ["First one missing" if count else "" for count in by_core[name]]
    if plan.by_name[name].is_input:
        typed = [entries[name] for entries in batch]
        return ["not given" if cell.role == "job" and value in (None, "") else value for value in typed]
    return by_core[name]


def _title_left_of(plan: Plan, sheet: str, row: int, column: int) -> str:
    """Return what the first entry of a row is told by: the label at its left, else its own."""
    here = plan.by_place[sheet, cell_address(row, column)]
    beside = (plan.by_place.get((sheet, cell_address(row, left))) for left in range(column - 1, 0, -1))
    return next((str(c.value) for c in beside if c is not None and c.role.endswith("_label")), here.label)


def _link_to(_: Plan, sheet: str, row: int, column: int) -> str:
    """Return a place of the workbook as a link says it."""
    return f"#'{sheet}'!{cell_address(row, column)}"
