"""Which results rest on which cells, from the names in the plan's formulas."""

from __future__ import annotations

import re
from collections.abc import Iterable

from sheetgen.gaps import NOW
from sheetgen.plan import Plan, PlannedCell

NAME = re.compile(r'"[^"]*"|([a-z][a-z0-9]*(?:_[a-z0-9]+)+)')


def names_in(formula: str) -> set[str]:
    """Return the defined names that a formula speaks of.

    Examples
    --------
    >>> sorted(names_in('=IF(bore_mean_1="not_this",pin_size_1,"")'))
    ['bore_mean_1', 'pin_size_1']
    """
    return {match.group(1) for match in NAME.finditer(formula) if match.group(1)}


class Dependence:
    """Direct dependants of every named cell of a plan."""

    def __init__(self, plan: Plan) -> None:
        at = {(cell.sheet, cell.row, cell.column): cell for cell in plan.cells if cell.name or cell.formula}
        self.members: dict[str, tuple[str, ...]] = {}
        unnamed: list[tuple[str, PlannedCell]] = []
        for name, (sheet, first, last) in plan.names.items():
            covered = [
                found
                for row in range(first[0], last[0] + 1)
                for column in range(first[1], last[1] + 1)
                if (found := at.get((sheet, row, column)))
            ]
            self.members[name] = tuple(cell.name for cell in covered if cell.name)
            unnamed += [(name, cell) for cell in covered if not cell.name]
        # A cell without a name stands for the named cells that its own formula speaks of.
        for name, cell in sorted(unnamed, key=lambda item: item[1].role == NOW):
            self.members[name] += tuple(self.cells_in(cell.formula))
        self.dependants: dict[str, list[str]] = {}
        self.precedents: dict[str, set[str]] = {}
        for cell in plan.cells:
            if cell.formula and cell.name:
                used = self.cells_in(cell.formula)
                self.precedents[cell.name] = used
                for name in used:
                    self.dependants.setdefault(name, []).append(cell.name)

    def cells_in(self, formula: str) -> set[str]:
        """Return the named cells that a formula speaks of, those of its ranges one by one."""
        return {member for name in names_in(formula) for member in self.members.get(name, ())}

    def all_after(self, names: Iterable[str]) -> set[str]:
        """Return every result that rests, directly or not, on any of these cells."""
        found: set[str] = set()
        waiting = list(names)
        while waiting:
            for name in self.dependants.get(waiting.pop(), ()):
                if name not in found:
                    found.add(name)
                    waiting.append(name)
        return found
