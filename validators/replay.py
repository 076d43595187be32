"""Runs compiled formulas over a batch of sheets.

Every cell is a row of one table, every sheet of the batch a column. Cells of one pattern whose
inputs are ready at the same time are stacked, cells times sheets, and computed together. What a
function does is the recalculator's business (`validators.recalculate`); this module only decides
what is computed when, and on what.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from validators.cell_values import CellKey, ErrorValue, where
from validators.errors import RecalculationError
from validators.formula_order import ELEMENTWISE, FormulaCell, check_shapes, waves
from validators.pattern_plans import Constant, PatternPlan

Objects = NDArray[np.object_]
Function = Callable[..., Any]
Shapes = tuple[tuple[int, int], ...]

_PASSING_ON = {"IF": (1, 2), "INDEX": (1,)}
"""Functions that hand on what they are given, and where in the recalculator's list it stands."""

_BY_KIND = frozenset({"COUNT", "COUNTBLANK"})
"""Functions for which one finite number is as good as any other."""

_BLANK = object()

_LARGEST_STACK = 200_000
"""Most elements that one argument of a stacked call holds; bounds the memory of a run."""


class SheetText(str):
    """Text in a cell, which stays text even when it reads like a number.

    The recalculator takes text such as "3.5" for a number wherever ``float`` would; spreadsheet
    programs count it as text.
    """

    __slots__ = ()

    def __float__(self) -> float:
        raise ValueError(f"{str(self)!r} is text")


class Library(Protocol):
    """The recalculator's functions and the marks it uses for what is not a plain value."""

    empty: object
    """Stands for a blank cell."""

    def function(self, name: str) -> Function:
        """Return the function or operator of that name."""

    def error(self, value: ErrorValue) -> object:
        """Return the mark for an error value."""

    def error_value(self, mark: object) -> ErrorValue | None:
        """Return the error value behind a mark; None when it is not an error's mark."""


@dataclass(frozen=True, slots=True)
class _Group:
    """Cells of one pattern that are computed together."""

    cells: tuple[CellKey, ...]
    plan: PatternPlan
    rows: NDArray[np.intp]
    """Where the results go: one row of the table per cell."""
    arguments: tuple[NDArray[np.intp], ...]
    """For each place, the rows of the table to read: cell, block row, block column."""


class Replay:
    """Formulas made ready to be computed again and again.

    Parameters
    ----------
    formulas : sequence of FormulaCell
        Every formula of the workbook.
    inputs : collection of CellKey
        Every cell that may be given a value.
    library : Library
        The functions.

    Raises
    ------
    RecalculationError
        A cell needs itself, or a formula combines blocks of different sizes.
    """

    def __init__(
        self, formulas: Sequence[FormulaCell], inputs: Sequence[CellKey], library: Library
    ) -> None:
        self._library = library
        self._formula_cells = tuple(formula.cell for formula in formulas)
        self._allowed = frozenset(inputs)
        self._row: dict[CellKey, int] = {cell: n for n, cell in enumerate(self._formula_cells)}
        for formula in formulas:
            for block in formula.blocks:
                for line in block:
                    for cell in line:
                        self._row.setdefault(cell, len(self._row))
        self._groups = self._grouped(formulas)
        called = {step.name for group in self._groups for step in group.plan.steps}
        self._functions = {name: library.function(name) for name in called}

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
        table: Objects = np.empty((len(self._row), count), object)
        table[:] = self._library.empty
        shared: dict[object, object] = {}
        for cell, values in inputs.items():
            line = self._read(cell, values, count, shared)
            if cell in self._row:
                table[self._row[cell]] = line
        if count:
            with np.errstate(all="ignore"):
                for group in self._groups:
                    self._compute(group, table)
        return {cell: self._shown(table[self._row[cell]]) for cell in self._formula_cells}

    def _grouped(self, formulas: Sequence[FormulaCell]) -> list[_Group]:
        wave = waves(formulas)
        members: dict[tuple[int, str, Shapes], list[FormulaCell]] = {}
        for formula in formulas:
            shapes = tuple((len(block), len(block[0])) for block in formula.blocks)
            key = (wave[formula.cell], formula.pattern, shapes)
            if key not in members:
                check_shapes(formula, shapes)
            members.setdefault(key, []).append(formula)
        return [self._group(members[key]) for key in sorted(members)]

    def _group(self, formulas: list[FormulaCell]) -> _Group:
        row = self._row
        return _Group(
            cells=tuple(formula.cell for formula in formulas),
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

    def _read(
        self,
        cell: CellKey,
        values: Sequence[object],
        count: int,
        shared: dict[object, object],
    ) -> Objects:
        if cell not in self._allowed:
            raise RecalculationError(
                where(cell), "a value was given for a cell that is no input of this workbook"
            )
        if len(values) != count:
            raise RecalculationError(
                where(cell), f"{len(values)} values were given for {count} sheets"
            )
        line: Objects = np.empty(count, object)
        for n, value in enumerate(values):
            if value is None:
                line[n] = self._library.empty
            elif isinstance(value, ErrorValue):
                line[n] = self._library.error(value)
            elif isinstance(value, str):
                line[n] = shared.setdefault(value, SheetText(value))
            elif isinstance(value, bool | np.bool_):
                line[n] = bool(value)
            else:
                number = _finite(value)
                if number is None:
                    raise RecalculationError(where(cell), f"{value!r} cannot be in a cell")
                line[n] = shared.setdefault((number, math.copysign(1, number)), number)
        return line

    def _compute(self, group: _Group, table: Objects) -> None:
        count = table.shape[1]
        widest = max((rows[0].size for rows in group.arguments), default=1)
        stride = max(1, _LARGEST_STACK // (widest * count))
        for start in range(0, len(group.cells), stride):
            part = slice(start, start + stride)
            rows = group.rows[part]
            stacks = [_stacked(table, argument[part]) for argument in group.arguments]
            try:
                values = self._evaluate(group.plan, stacks, len(rows) * count)
            except MemoryError:
                raise
            except Exception as error:
                raise RecalculationError(
                    where(group.cells[start]), f"the recalculator gave up: {error!r}"
                ) from error
            table[rows] = values.reshape(len(rows), count)

    def _evaluate(self, plan: PatternPlan, stacks: list[Objects], height: int) -> Objects:
        """Run the steps of a plan on stacks of shape (height, rows, columns)."""
        slots: list[Any] = [*stacks, *map(self._constant, plan.constants)]
        for step in plan.steps:
            slots.append(self._called(step.name, [slots[slot] for slot in step.arguments], height))
        result = slots[plan.result]
        found = result.ravel().tolist() if isinstance(result, np.ndarray) else [result] * height
        values: Objects = np.empty(height, object)
        values[:] = [self._kept(value) for value in found]
        return values

    def _called(self, name: str, arguments: list[Any], height: int) -> object:
        """Call a function once for all that differs in its arguments."""
        function = self._functions[name]
        if not any(isinstance(argument, np.ndarray) for argument in arguments):
            return _single(function(*arguments))
        call: Callable[[Function, list[Any], int], Objects] = _one_by_one
        keys: list[Iterable[object]]
        shape: tuple[int, ...] = (height, 1, 1)
        if name in ELEMENTWISE:
            shape = np.broadcast_shapes(*(np.shape(argument) for argument in arguments))
            flat = [
                np.broadcast_to(a, shape).ravel() if isinstance(a, np.ndarray) else a
                for a in arguments
            ]
            keys = [map(id, a.tolist()) for a in flat if isinstance(a, np.ndarray)]
            call = _all_at_once
        else:
            flat = arguments
            levels = [a.reshape(height, -1).tolist() for a in flat if isinstance(a, np.ndarray)]
            if name in _BY_KIND:
                keys = [[tuple(float if type(v) is float else id(v) for v in level) for level in part]
                        for part in levels]
            else:
                keys = [[tuple(map(id, level)) for level in part] for part in levels]
        first, position = _distinct(keys)
        different = [a[first] if isinstance(a, np.ndarray) else a for a in flat]
        if name not in _PASSING_ON:
            return call(function, different, len(first))[position].reshape(shape)
        # The function would turn a blank it hands on into 0, which is no longer equal to "".
        for place in _PASSING_ON[name]:
            if isinstance(different[place], np.ndarray):
                different[place] = _exchanged(different[place], self._library.empty, _BLANK)
        result = call(function, different, len(first))
        return _exchanged(result, _BLANK, self._library.empty)[position].reshape(shape)

    def _constant(self, constant: Constant) -> object:
        if isinstance(constant, ErrorValue):
            return self._library.error(constant)
        return SheetText(constant) if isinstance(constant, str) else constant

    def _kept(self, value: object) -> object:
        """Return a result as the cell keeps it for the formulas that read it."""
        if isinstance(value, bool | np.bool_):
            return bool(value)
        number = _finite(value)
        if number is not None:
            return number
        if value is self._library.empty:
            return 0.0
        if isinstance(value, SheetText) or self._library.error_value(value):
            return value
        # What is left is a number no cell can hold, such as the complex one of (-8)^(1/3).
        return (
            SheetText(value) if isinstance(value, str) else self._library.error(ErrorValue("#NUM!"))
        )

    def _shown(self, line: Objects) -> Objects:
        shown: Objects = np.empty(len(line), object)
        for n, value in enumerate(line):
            shown[n] = self._library.error_value(value) or (
                str(value) if isinstance(value, SheetText) else value
            )
        return shown


def _stacked(table: Objects, rows: NDArray[np.intp]) -> Objects:
    """Return the values of blocks of cells, shape (cells * sheets, rows, columns)."""
    cells, high, wide = rows.shape
    return np.moveaxis(table[rows], -1, 1).reshape(cells * table.shape[1], high, wide)


def _finite(value: object) -> float | None:
    """Return a real number that a cell can hold; None for everything else."""
    if not isinstance(value, int | float | np.integer | np.floating):
        return None
    try:
        number = float(value)
    except OverflowError:
        return None
    return number if math.isfinite(number) else None


def _exchanged(values: Objects, old: object, new: object) -> Objects:
    places = [n for n, value in enumerate(values.ravel().tolist()) if value is old]
    if not places:
        return values
    changed = values.copy()
    flat = changed.reshape(-1)
    for n in places:
        flat[n] = new
    return changed


def _all_at_once(function: Function, columns: list[Any], size: int) -> Objects:
    """Call a function that works element by element, once for all elements."""
    result = np.asarray(function(*columns), object)
    if result.shape == (size,):
        return result
    # Where plain arithmetic raises, as 0^-1 does, the function gives one answer for all.
    return _one_by_one(
        function, [c[:, np.newaxis] if isinstance(c, np.ndarray) else c for c in columns], size
    )


def _one_by_one(function: Function, stacks: list[Any], size: int) -> Objects:
    """Call a function once for each level of the stacks."""
    result: Objects = np.empty(size, object)
    for n in range(size):
        result[n] = _single(function(*(s[n] if isinstance(s, np.ndarray) else s for s in stacks)))
    return result


def _distinct(identities: Iterable[Iterable[object]]) -> tuple[list[int], list[int]]:
    """Return where each different combination comes first, and which one each row holds.

    Combinations are the same when they consist of the same objects. Equal numbers in different
    objects count as different: that is quick, and keeps 1 apart from TRUE and 0 from -0.
    """
    seen: dict[tuple[object, ...], int] = {}
    first: list[int] = []
    position: list[int] = []
    for n, key in enumerate(zip(*identities, strict=True)):
        known = seen.setdefault(key, len(first))
        if known == len(first):
            first.append(n)
        position.append(known)
    return first, position


def _single(value: object) -> object:
    return np.asarray(value, object).ravel()[0]
