"""Runs compiled formulas over a batch of sheets.

Every cell is a row of one table, every sheet of the batch a column. Cells of one pattern whose
inputs are ready at the same time are stacked, cells times sheets, and computed together. What a
function does is the recalculator's business (`validators.recalculate`), how often it is called that of
`validators.bulk_calls`; this module only decides what is computed when, and on what.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from validators.bulk_calls import Calls, Library
from validators.cell_values import CellKey, ErrorValue, where
from validators.errors import RecalculationError
from validators.formula_order import FormulaCell, check_shapes, waves
from validators.pattern_plans import Constant, PatternPlan
from validators.stacks import EMPTY, NUMBER, Objects, Pool, SheetText, Stack, finite

Shapes = tuple[tuple[int, int], ...]

_LARGEST_STACK = 200_000
"""Most elements that one argument of a stacked call holds; bounds the memory of a run."""


@dataclass(frozen=True, slots=True)
class Group:
    """Cells of one pattern that are computed together."""

    plan: PatternPlan
    rows: NDArray[np.intp]
    """Where the results go: one row of the table per cell."""
    arguments: tuple[NDArray[np.intp], ...]
    """For each place, the rows of the table to read: cell, block row, block column."""


@dataclass(frozen=True, slots=True)
class Compiled:
    """Formulas in the order in which they are computed.

    Attributes
    ----------
    formula_cells, read : tuple of CellKey
        What the rows of the table stand for: every cell that is computed, then every other that is read.
    inputs : tuple of CellKey
        Every cell that may be given a value.
    groups : tuple of Group
        What is computed together, one after the other.
    """

    formula_cells: tuple[CellKey, ...]
    read: tuple[CellKey, ...]
    inputs: tuple[CellKey, ...]
    groups: tuple[Group, ...]


def compiled(formulas: Sequence[FormulaCell], inputs: Sequence[CellKey]) -> Compiled:
    """Make formulas ready to be computed.

    Parameters
    ----------
    formulas : sequence of FormulaCell
        Every formula of the workbook.
    inputs : sequence of CellKey
        Every cell that may be given a value.

    Raises
    ------
    RecalculationError
        A cell needs itself, or a formula combines blocks of different sizes.
    """
    row: dict[CellKey, int] = {formula.cell: n for n, formula in enumerate(formulas)}
    for formula in formulas:
        for block in formula.blocks:
            for line in block:
                for cell in line:
                    row.setdefault(cell, len(row))
    rows = tuple(row)
    groups = tuple(_group(members, row) for members in _together(formulas))
    return Compiled(rows[:len(formulas)], rows[len(formulas):], tuple(inputs), groups)


def _together(formulas: Sequence[FormulaCell]) -> Iterator[list[FormulaCell]]:
    """Yield formulas that are computed together, in the order in which they can be."""
    wave = waves(formulas)
    members: dict[tuple[int, str, Shapes], list[FormulaCell]] = {}
    for formula in formulas:
        shapes = tuple((len(block), len(block[0])) for block in formula.blocks)
        key = (wave[formula.cell], formula.pattern, shapes)
        if key not in members:
            check_shapes(formula, shapes)
        members.setdefault(key, []).append(formula)
    yield from (members[key] for key in sorted(members))


def _group(formulas: list[FormulaCell], row: Mapping[CellKey, int]) -> Group:
    return Group(
        plan=formulas[0].plan,
        rows=np.array([row[formula.cell] for formula in formulas], np.intp),
        arguments=tuple(
            np.array(
                [
                    [[row[cell] for cell in line] for line in formula.blocks[place]]
                    for formula in formulas
                ],
                np.intp,
            )
            for place in range(len(formulas[0].blocks))
        ),
    )


class Replay:
    """Formulas that are computed again and again.

    Parameters
    ----------
    compiled : Compiled
        The formulas.
    library : Library
        The functions.
    """

    def __init__(self, compiled: Compiled, library: Library) -> None:
        self.compiled = compiled
        self._library = library
        self._formula_cells, self._groups = compiled.formula_cells, compiled.groups
        self._allowed = frozenset(compiled.inputs)
        rows = (*compiled.formula_cells, *compiled.read)
        self._row: dict[CellKey, int] = {cell: n for n, cell in enumerate(rows)}
        called = {step.name for group in self._groups for step in group.plan.steps}
        self._call = Calls(library, called).call

    @property
    def formula_cells(self) -> tuple[CellKey, ...]:
        """Every cell that is computed."""
        return self._formula_cells

    @property
    def input_cells(self) -> frozenset[CellKey]:
        """Every cell that may be given a value: covered by a name, and no formula."""
        return self._allowed

    def run(self, inputs: Mapping[CellKey, Sequence[object]], count: int) -> dict[CellKey, Objects]:
        """Compute every formula for every sheet of a batch.

        Parameters
        ----------
        inputs : mapping of CellKey to sequence
            For each input cell its content in each sheet: float, str, bool, ErrorValue, or None for
            a blank. A cell that is left out is blank in every sheet.
        count : int
            How many sheets the batch has.

        Returns
        -------
        dict of CellKey to array of object, shape (count,)
            For each formula cell its value in each sheet: float, str, bool or ErrorValue.

        Raises
        ------
        RecalculationError
            A cell is not an input, or its values are of another number or kind.

        Examples
        --------
        >>> from validators.recalculate import compile_sheet
        >>> names = {"bore_size": ("Bores", "A1", "A1"), "bore_area": ("Bores", "B1", "B1")}
        >>> formulas = {("Bores", "B1"): '=IF(COUNT(bore_size)=0,"",PI()/4*bore_size^2)'}
        >>> replay = compile_sheet(formulas, names)
        >>> results = replay.run({("Bores", "A1"): [2.0, None]}, 2)
        >>> results["Bores", "B1"].tolist()
        [3.141592653589793, '']
        """
        pool = Pool(self._library)
        shape = len(self._row), count
        table = Stack(np.full(shape, EMPTY, np.uint8), np.zeros(shape))
        for cell, values in inputs.items():
            self._put(cell, values, table, pool)
        if count:
            with np.errstate(all="ignore"):
                for group in self._groups:
                    self._compute(group, table, pool)
        # The rows of the formulas come first.
        shown = pool.shown(table.at(slice(len(self._formula_cells))))
        return dict(zip(self._formula_cells, shown, strict=True))

    def _put(self, cell: CellKey, values: Sequence[object], table: Stack, pool: Pool) -> None:
        """Put what an input cell holds in each sheet into its row of the table."""
        if cell not in self._allowed:
            raise RecalculationError(
                where(cell), "a value was given for a cell that is no input of this workbook"
            )
        if len(values) != table.kinds.shape[1]:
            raise RecalculationError(
                where(cell), f"{len(values)} values were given for {table.kinds.shape[1]} sheets"
            )
        row = self._row.get(cell)
        for n, value in enumerate(values):
            if value is None:
                continue
            kind, number = self._input(cell, value, pool)
            if row is not None:
                table.kinds[row, n], table.numbers[row, n] = kind, number

    def _input(self, cell: CellKey, value: object, pool: Pool) -> tuple[int, float]:
        if type(value) is float and math.isfinite(value):
            return NUMBER, value
        if isinstance(value, ErrorValue):
            return pool.told(self._library.error(value))
        if isinstance(value, str):
            return pool.told(SheetText(value))
        if isinstance(value, bool | np.bool_) or finite(value) is not None:
            return pool.told(value)
        raise RecalculationError(where(cell), f"{value!r} cannot be in a cell")

    def _compute(self, group: Group, table: Stack, pool: Pool) -> None:
        count = table.kinds.shape[1]
        widest = max((rows[0].size for rows in group.arguments), default=1)
        stride = max(1, _LARGEST_STACK // (widest * count))
        for start in range(0, len(group.rows), stride):
            part = slice(start, start + stride)
            rows = group.rows[part]
            stacks = [_stacked(table, argument[part]) for argument in group.arguments]
            try:
                found = self._evaluate(group.plan, stacks, len(rows) * count, pool)
            except MemoryError:
                raise
            except Exception as error:
                raise RecalculationError(
                    where(self._formula_cells[rows[0]]), f"the recalculator gave up: {error!r}"
                ) from error
            table.kinds[rows] = found.kinds.reshape(len(rows), count)
            table.numbers[rows] = found.numbers.reshape(len(rows), count)

    def _evaluate(self, plan: PatternPlan, stacks: list[Stack], height: int, pool: Pool) -> Stack:
        """Run the steps of a plan on stacks of shape (height, rows, columns)."""
        slots = [*stacks, *(self._constant(constant, pool) for constant in plan.constants)]
        for step in plan.steps:
            slots.append(self._call(step.name, [slots[slot] for slot in step.arguments], height, pool))
        return pool.kept(slots[plan.result], height)

    def _constant(self, constant: Constant, pool: Pool) -> Stack:
        if isinstance(constant, ErrorValue):
            return pool.stack_of([self._library.error(constant)], ())
        return pool.stack_of([SheetText(constant) if isinstance(constant, str) else constant], ())


def _stacked(table: Stack, rows: NDArray[np.intp]) -> Stack:
    """Return the values of blocks of cells, shape (cells * sheets, rows, columns)."""
    cells, high, wide = rows.shape
    shape = cells * table.kinds.shape[1], high, wide
    return Stack(*(part[rows].transpose(0, 3, 1, 2).reshape(shape) for part in table))
