"""Both recomputations of a batch of sheets: the sheet's own formulas, and the reference core."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import Any

import numpy as np

from sheetgen.layout import LISTED, indices, stage_labels
from sheetgen.naming import element_name
from sheetgen.plan import Plan, PlannedCell, column_letters
from validators.cell_values import CellKey, ErrorValue, NameTarget
from validators.dependence import Dependence
from validators.places import cell_key
from validators.recalculate import compile_known
from validators.reference.evaluate import Limited, evaluate
from validators.reference.wiring import Shapes
from validators.units import to_si

Entries = Mapping[str, float | str | None]
Shown = float | str | None
PLUMBING = ("_floor", "_ceiling")


def mark_code(value: float | str) -> tuple[str, float | str]:
    """Return what makes two marks the same: text without regard to case, or the number."""
    return ("text", value.casefold()) if isinstance(value, str) else ("number", float(value))


class FixedCells:
    """The cells of a plan in which nothing is given, as the checks go through them.

    Attributes
    ----------
    results : list of PlannedCell
        Formula cells with a name.
    formula_cells, printed_cells : list of PlannedCell
        All formula cells; printed texts and constants.
    computed : list of PlannedCell
        Results that the reference core states as well.
    formulas : list of tuple
        Key, cell and formula without its equals sign, of every formula cell.
    only_formulas : list of tuple
        Those of them that the core does not state: cells without a name, and floors and ceilings.
    prints : list of tuple
        Key and cell of every printed cell.
    floors : dict of str to float
        By key, the difference that shows nothing, of formula cells.
    lockable : dict of str to list of tuple
        By planned title: key and cell of all that is an entry, a result or a formula.
    """

    def __init__(self, plan: Plan) -> None:
        entries = plan.catalogue.entries
        self.results = [cell for cell in plan.cells if cell.formula and cell.name]
        self.formula_cells = [cell for cell in plan.cells if cell.formula]
        self.printed_cells = [
            cell for cell in plan.cells
            if not (cell.formula or cell.role == "input" or cell.value is None)
        ]
        self.computed = [cell for cell in self.results if not cell.key.endswith(PLUMBING)]
        self.formulas = [(cell_key(cell), cell, cell.formula[1:]) for cell in self.formula_cells]
        stated = {cell.name for cell in self.computed}
        self.only_formulas = [told for told in self.formulas if told[1].name not in stated]
        self.prints = [(cell_key(cell), cell) for cell in self.printed_cells]
        self.floors = {
            cell_key(cell): entries[cell.key].floor if cell.key in entries else 0.0
            for cell in self.formula_cells
        }
        self.lockable: dict[str, list[tuple[str, PlannedCell]]] = {}
        for cell in plan.cells:
            if cell.name or cell.formula:
                self.lockable.setdefault(cell.sheet, []).append((cell_key(cell), cell))


class Recomputer:
    """Recomputes sheets that were written from one plan.

    Parameters
    ----------
    plan : Plan
        What the sheets were written from.
    """

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self._replay: Any = None
        self.layout, self.catalogue = plan.build.layout, plan.catalogue
        fixed = plan.kept.get("fixed cells") or FixedCells(plan.bare or plan)
        plan.kept["fixed cells"] = fixed
        self.fixed: FixedCells = fixed
        self.results, self.formula_cells, self.computed = fixed.results, fixed.formula_cells, fixed.computed
        self.printed_cells = fixed.printed_cells

    @cached_property
    def dependence(self) -> Dependence:
        """Which results rest on which cells."""
        kept: Dependence = self.plan.kept.get("dependence") or Dependence(self.plan)
        self.plan.kept["dependence"] = kept
        return kept

    @cached_property
    def formula_set(self) -> str:
        """A digest over all that both recomputations use, apart from entries.

        Sheets with the same one may be recomputed together, by the recomputer of any of them: jobs
        differ in what is given, engines of one layout and family do not differ in their formulas.
        """
        plan = self.plan
        if "formula set" in plan.kept:
            return str(plan.kept["formula set"])
        lines = [f"{plan.version} {plan.build.family} {plan.build.layout!r} {plan.stage_inputs!r}"]
        lines += [
            f"{cell.sheet}!{cell.address} {cell.name} {cell.key} {cell.index} {cell.formula} "
            f"{None if cell.is_input else cell.value!r}"
            for cell in plan.cells
            if cell.name or cell.formula
        ]
        lines += [f"{name} {where}" for name, where in plan.names.items()]
        plan.kept["formula set"] = hashlib.sha256("\n".join(lines).encode()).hexdigest()
        return str(plan.kept["formula set"])

    # ------------------------------------------------------------ the sheet's own formulas

    @property
    def replay(self) -> Any:
        """The plan's formulas, compiled when they are first needed."""
        if self._replay is None:
            self._replay = compile_known(self.formula_set, self._formulas, self._names)
        return self._replay

    def _formulas(self) -> dict[CellKey, str]:
        return {(cell.sheet, cell.address): cell.formula for cell in self.plan.cells if cell.formula}

    def _names(self) -> dict[str, NameTarget]:
        return {
            name: (title, _address(first), _address(last))
            for name, (title, first, last) in self.plan.names.items()
        }

    def recalculated(self, batch: Sequence[Entries]) -> dict[str, list[Shown | ErrorValue]]:
        """Return every formula's value by the recalculator: cell name to one value per sheet.

        Cells without a name (a figure shown again) are given as ``sheet!address``.
        """
        replay = self.replay
        inputs = {}
        for cell in self.plan.cells:
            place = (cell.sheet, cell.address)
            if cell.formula or place not in replay.input_cells:
                continue
            if cell.is_input:
                inputs[place] = [entries.get(cell.name) for entries in batch]
            else:
                inputs[place] = [cell.value] * len(batch)
        values = replay.run(inputs, len(batch))
        return {
            cell.name or f"{cell.sheet}!{cell.address}": list(values[cell.sheet, cell.address])
            for cell in self.plan.cells
            if cell.formula
        }

    # ------------------------------------------------------------ the reference core

    @cached_property
    def shapes(self) -> Shapes:
        """Axes of every quantity and labels of every axis, as the reference core wants them."""
        axes_of = {
            key: entry.over
            for key, entry in self.catalogue.entries.items()
            if not key.endswith(PLUMBING)
        }
        labels = {
            axis: self.layout.labels(axis, self.catalogue) for axis in self.catalogue.axes if axis != "stage"
        } | {"stage": stage_labels(self.catalogue)}
        return Shapes({**axes_of, "shown_length": (), "shown_mass": ()}, labels)

    @cached_property
    def relations(self) -> dict[tuple[str, ...], list[int]]:
        """What sits on what, as element numbers from 0."""
        layout, axes, told = self.layout, self.catalogue.axes, self.catalogue.relations
        sized, feature = list(axes["sized"].elements), list(axes["feature"].elements)
        body, fits = list(axes["body"].elements), list(axes["fit"].elements)
        found: dict[tuple[str, ...], list[int]] = {
            ("cylinder", "crankpin"): [pin - 1 for pin in layout.crankpin_of],
            ("cylinder", "bank"): [bank - 1 for bank in layout.bank_of],
            ("rodbolt", "cylinder"): [n for n in range(layout.cylinders) for _ in "ab"],
            ("sized", "feature"): [feature.index(label) for label in sized],
            ("sized", "body"): [body.index(told["body_of_sized"][label]) for label in sized],
        }
        for member in ("hole", "shaft"):
            of = told[f"{member}_of_fit"]
            found["fit", "sized", member] = [sized.index(of[label]) for label in fits]
            found["fit", "feature", member] = [feature.index(of[label]) for label in fits]
        return found

    @cached_property
    def limited(self) -> list[Limited]:
        """What is judged, with its guard and the SI size of its shown unit."""
        family = self.plan.build.family
        return [
            Limited(
                key,
                self.catalogue.entries[key].guard,
                to_si(self.catalogue.measures[self.catalogue.entries[key].measure], family)[0],
            )
            for key in self.catalogue.limited
        ]

    def arrays(self, batch: Sequence[Entries]) -> tuple[dict[str, np.ndarray], list[list[float | str]]]:
        """Return the inputs of the reference core in SI, and each sheet's list of marks by code."""
        family, count = self.plan.build.family, len(batch)
        codes: list[dict[Any, int]] = [{} for _ in batch]
        marks: list[list[float | str]] = [[] for _ in batch]

        def code(sheet: int, value: float | str | None) -> float:
            if value is None or value == "":
                return np.nan
            known = codes[sheet].setdefault(mark_code(value), len(marks[sheet]))
            if known == len(marks[sheet]):
                marks[sheet].append(value)
            return float(known)

        inputs: dict[str, np.ndarray] = {}
        for constant, table in LISTED.items():
            names = [item["name"] for item in table()]
            inputs[constant] = np.array([[code(s, name) for name in names] for s in range(count)])
        for key, cells in self.plan.by_key.items():
            entry = self.catalogue.entries[key]
            if entry.kind not in ("given", "reading", "fixed"):
                continue
            extent = self.shapes.extents(entry.over)
            columns = [
                [entries.get(cell.name) if entry.is_input else cell.value for cell in cells]
                for entries in batch
            ]
            if entry.measure:
                factor, offset = to_si(self.catalogue.measures[entry.measure], family)
                numbers = np.array(
                    [[np.nan if v is None or isinstance(v, str) else v for v in row] for row in columns],
                    dtype=float,
                )
                flat = numbers * factor + offset
            elif entry.words:
                words = self.catalogue.words[entry.words]
                listed: dict[Shown, float] = {word: float(n) for n, word in enumerate(words)}
                flat = np.array([[listed.get(v, np.nan) for v in row] for row in columns], dtype=float)
            elif entry.text == "mark":
                flat = np.array([[code(s, v) for v in row] for s, row in enumerate(columns)], dtype=float)
            else:  # notes and dates: only whether they are there
                flat = np.array(
                    [[np.nan if v is None or v == "" else 1.0 for v in row] for row in columns], dtype=float
                )
            inputs[key] = flat.reshape((count, *extent))
        for measure in ("length", "mass"):
            unit, _ = to_si(self.catalogue.measures[measure], family)
            inputs[f"shown_{measure}"] = np.full((count,), unit)
        return inputs, marks

    def reference(self, batch: Sequence[Entries]) -> dict[str, list[Shown]]:
        """Return every result by the reference core, as the sheet would show it: name to values."""
        inputs, marks = self.arrays(batch)
        keys = list(dict.fromkeys(cell.key for cell in self.computed))
        values = evaluate(
            inputs, self.shapes, self.relations, self.limited, keys,
            required=self.plan.stage_inputs, items=self.catalogue.items,
        )
        shown: dict[str, list[Shown]] = {}
        for key in keys:
            entry = self.catalogue.entries[key]
            flat = np.broadcast_to(
                values[key], (len(batch), *self.shapes.extents(entry.over))
            ).reshape((len(batch), -1))
            for number, index in enumerate(indices(entry, self.layout, self.catalogue)):
                column = flat[:, number]
                shown[element_name(key, index)] = self._shown(entry.key, column, marks)
        return shown

    def _shown(self, key: str, column: np.ndarray, marks: Sequence[Sequence[float | str]]) -> list[Shown]:
        entry = self.catalogue.entries[key]
        if entry.words:
            words = self.catalogue.words[entry.words]
            return [words[int(code)] for code in column]
        if entry.text:
            return ["" if np.isnan(c) else marks[s][int(c)] for s, c in enumerate(column)]
        factor, offset = to_si(self.catalogue.measures[entry.measure], self.plan.build.family)
        return ["" if np.isnan(v) else float((v - offset) / factor) for v in column]


def _address(place: tuple[int, int]) -> str:
    return f"{column_letters(place[1])}{place[0]}"
