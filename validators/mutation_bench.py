"""A bench for faults: baseline builds computed once, then single formulas computed with a fault."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cache, cached_property
from typing import Any

from sheetgen.build import new_build
from sheetgen.formula_parts import Part
from sheetgen.plan import Plan, PlannedCell, column_letters, plan_workbook
from validators.agree import agrees
from validators.cell_values import CellKey, ErrorValue, NameTarget
from validators.dependence import names_in
from validators.edge_builds import proof_builds
from validators.errors import RecalculationError
from validators.formula_mutants import written
from validators.formula_statements import Statement
from validators.pattern_plans import PlanStore
from validators.random_layouts import random_layout
from validators.random_texts import with_texts
from validators.recalculate import compile_sheet
from validators.recompute import PLUMBING, Recomputer
from validators.shown_again import repeated

FIRST_LOOK, FIRST_CELLS = 24, 8
"""Builds and cells that are tried first: most faults show there."""

_NOTHING_KEPT = PlanStore(None, {})


class Bench:
    """The builds of one layout, as both statements compute them without a fault.

    Parameters
    ----------
    plan : Plan
        What the sheets are written from.
    builds : int
        How many random builds stand on the bench, seeds from 0.
    texts : bool
        Whether texts stand among the numbers of every build.
    """

    def __init__(self, plan: Plan, builds: int, *, texts: bool = False) -> None:
        self.plan, self.builds = plan, builds
        self.recomputer = Recomputer(plan)
        self.batch: Sequence[Mapping[str, Any]] = proof_builds(self.recomputer, range(builds))
        if texts:
            self.batch = [with_texts(plan, build, seed) for seed, build in enumerate(self.batch)]
        self.by_core = self.recomputer.reference(self.batch)
        self._content: dict[CellKey, list[Any]] = {}

    @cached_property
    def by_sheet(self) -> Mapping[str, list[Any]]:
        """What every formula cell holds without a fault."""
        found: dict[str, list[Any]] = {}
        for start in range(0, self.builds, 60):
            part = self.recomputer.recalculated(self.batch[start : start + 60])
            for name, values in part.items():
                found.setdefault(name, []).extend(values)
        return found

    def expected(self, cell: PlannedCell) -> Sequence[Any] | None:
        """Return what the core, or the figure that is repeated, says a cell must hold."""
        if cell.key.endswith(PLUMBING):
            return None
        if cell.name:
            return self.by_core[cell.name]
        return repeated(self.plan, cell, self.batch, self.by_core)

    def content(self, cell: PlannedCell) -> list[Any]:
        """Return what a cell holds in every build."""
        key = (cell.sheet, cell.address)
        if key not in self._content:
            if cell.formula:
                values = self.by_sheet[cell.name or f"{cell.sheet}!{cell.address}"]
            elif cell.is_input:
                values = [entries[cell.name] for entries in self.batch]
            else:
                values = [cell.value] * self.builds
            self._content[key] = values
        return self._content[key]

    def shows(self, statement: Statement, formula: Part) -> bool | None:
        """Return whether a fault in a statement shows in any build; None if it cannot be computed."""
        cells = {placed.cell: f"={written(formula, placed.names)}" for placed in statement.cells}
        few = dict(list(cells.items())[:: max(1, len(cells) // FIRST_CELLS)])
        for some, count in ((few, min(FIRST_LOOK, self.builds)), (cells, self.builds)):
            shown = self._differs(some, statement.blocks, range(count))
            if shown or shown is None:
                return shown
        return False

    def _differs(
        self, cells: Mapping[PlannedCell, str], blocks: Mapping[str, Any], some: range
    ) -> bool | None:
        results = self.computed(cells, blocks, some)
        if results is None:
            return None
        if any(self.differs(cell, values) for cell, values in results.items()):
            return True
        # What the core does not state, or states within the tolerance, may still show further on.
        moved = [
            cell
            for cell, values in results.items()
            if any(one != other for one, other in zip(values, self.content(cell), strict=False))
        ]
        after = self._dependants(moved)
        if not after:
            return False
        results = self.computed({**{c: cells[c] for c in moved}, **after}, blocks, some)
        return results is not None and any(self.differs(cell, results[cell]) for cell in after)

    def _dependants(self, cells: Iterable[PlannedCell]) -> dict[PlannedCell, str]:
        """Return the cells that rest on others, through such as the core does not state."""
        found: dict[PlannedCell, str] = {}
        waiting = [cell for cell in cells if cell.name]
        while waiting:
            for name in self.recomputer.dependence.dependants.get(waiting.pop().name, ()):
                cell = self.plan.by_name[name]
                if cell not in found:
                    found[cell] = cell.formula
                    if cell.key.endswith(PLUMBING):
                        waiting.append(cell)
        return found

    def computed(
        self, cells: Mapping[PlannedCell, str], blocks: Mapping[str, Any], some: range
    ) -> dict[PlannedCell, list[Any]] | None:
        """Compute some cells with other formulas, all else as it stands; None if that cannot be."""
        formulas = {(cell.sheet, cell.address): text for cell, text in cells.items()}
        names: dict[str, NameTarget] = {}
        for text in formulas.values():
            for name in names_in(text):
                sheet, first, last = self.plan.names.get(name) or blocks[name]
                names[name] = (sheet, _address(first), _address(last))
        try:
            replay = compile_sheet(formulas, names, store=_NOTHING_KEPT)
            inputs = {
                place: [self.content(self.plan.by_place[place])[n] for n in some]
                for place in replay.input_cells
            }
            found = replay.run(inputs, len(some))
        except RecalculationError:
            return None
        return {cell: list(found[cell.sheet, cell.address]) for cell in cells}

    def differs(self, cell: PlannedCell, values: Sequence[Any]) -> bool:
        """Return whether a cell holds what it must not, in a build where it held what it must."""
        expected = self.expected(cell)
        if expected is None:
            return False
        sound = self.content(cell)
        return any(
            not _same(value, wanted) and _same(before, wanted)
            for value, wanted, before in zip(values, expected, sound, strict=False)
        )


def _same(value: Any, wanted: Any) -> bool:
    if isinstance(value, ErrorValue | bool):
        return False
    return agrees(value, wanted)


def _address(place: tuple[int, int]) -> str:
    return f"{column_letters(place[1])}{place[0]}"


@cache
def bench(layout: str, family: str, builds: int, texts: bool = False) -> Bench:
    """Return the bench of one layout known by name, or of a random one by its number, set up once."""
    definition = random_layout(int(layout)) if layout.isdecimal() else new_build(layout, family)
    return Bench(plan_workbook(definition), builds, texts=texts)


__all__ = ["Bench", "bench"]
