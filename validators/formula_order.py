"""In which order formulas are computed, and whether they can be computed at all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from validators.cell_values import CellKey, where
from validators.errors import RecalculationError
from validators.pattern_plans import OPERATORS, PatternPlan

ELEMENTWISE = OPERATORS | frozenset(
    [
        "ABS",
        "ASIN",
        "ATAN2",
        "COS",
        "DEGREES",
        "EXP",
        "HYPERLINK",
        "IF",
        "ISNUMBER",
        "ISTEXT",
        "LN",
        "NOT",
        "RADIANS",
        "ROUND",
        "SIN",
        "SQRT",
    ]
)
"""Functions that compute one element from one element of each argument."""


@dataclass(frozen=True, slots=True)
class FormulaCell:
    """One formula: its place, its plan, and the blocks of cells its places stand for."""

    cell: CellKey
    pattern: str
    plan: PatternPlan
    blocks: tuple[tuple[tuple[CellKey, ...], ...], ...]


def check_shapes(formula: FormulaCell, places: Sequence[tuple[int, int]]) -> None:
    """Refuse what spreadsheet programs would turn into an array or an error."""
    plan = formula.plan
    shapes = [*places, *[(1, 1)] * len(plan.constants)]
    for step in plan.steps:
        given = [shapes[slot] for slot in step.arguments]
        if step.name in ELEMENTWISE:
            shapes.append(_together(given, formula))
            continue
        if step.name == "SUMPRODUCT" and len(set(given)) > 1:
            raise RecalculationError(where(formula.cell), "SUMPRODUCT is given blocks of different sizes")
        singles = {"INDEX": given[2:], "MATCH": [given[0], *given[2:]]}.get(step.name, [])
        if any(shape != (1, 1) for shape in singles):
            raise RecalculationError(
                where(formula.cell), f"{step.name} is given a block where one cell belongs"
            )
        shapes.append((1, 1))
    if shapes[plan.result] != (1, 1):
        raise RecalculationError(where(formula.cell), "the formula gives a block of values, not one")


def _together(shapes: Sequence[tuple[int, int]], formula: FormulaCell) -> tuple[int, int]:
    blocks = {shape for shape in shapes if shape != (1, 1)}
    if len(blocks) > 1:
        raise RecalculationError(
            where(formula.cell), "blocks of different sizes are combined element by element"
        )
    return blocks.pop() if blocks else (1, 1)


def waves(formulas: Sequence[FormulaCell]) -> dict[CellKey, int]:
    """Return for each formula cell how many cells must be computed before it, one after another."""
    needs = {formula.cell: _needs(formula) for formula in formulas}
    users: dict[CellKey, list[CellKey]] = {cell: [] for cell in needs}
    open_needs: dict[CellKey, int] = {}
    for cell, needed in needs.items():
        computed = [other for other in needed if other in needs]
        open_needs[cell] = len(computed)
        for other in computed:
            users[other].append(cell)
    ready = [cell for cell, number in open_needs.items() if not number]
    waves: dict[CellKey, int] = dict.fromkeys(ready, 0)
    for cell in ready:
        for user in users[cell]:
            open_needs[user] -= 1
            waves[user] = max(waves.get(user, 0), waves[cell] + 1)
            if not open_needs[user]:
                ready.append(user)
    if len(ready) < len(needs):
        raise _cycle({cell: needs[cell] for cell, number in open_needs.items() if number})
    return waves


def _needs(formula: FormulaCell) -> dict[CellKey, None]:
    return {cell: None for block in formula.blocks for line in block for cell in line}


def _cycle(needs: Mapping[CellKey, Mapping[CellKey, None]]) -> RecalculationError:
    """Return the error for cells that wait for one another; each of `needs` has one."""
    path = [next(iter(needs))]
    while True:
        following = next(cell for cell in needs[path[-1]] if cell in needs)
        if following in path:
            circle = [*path[path.index(following) :], following]
            return RecalculationError(
                where(following),
                "the cell needs its own value: " + " needs ".join(where(c) for c in circle),
            )
        path.append(following)
