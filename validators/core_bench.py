"""A bench for faults of the core: single functions computed again, compared with the sheet."""

from __future__ import annotations

import warnings
from collections.abc import Callable, Collection, Iterator, Sequence
from contextlib import contextmanager
from functools import wraps
from types import ModuleType
from typing import Any

import numpy as np

from sheetgen.layout import indices
from sheetgen.naming import element_name
from validators.agree import ABSOLUTE, RELATIVE
from validators.core_mutants import JUDGING, CoreFault, modules, users
from validators.mutation_bench import Bench
from validators.recompute import mark_code
from validators.reference import evaluate as evaluating
from validators.reference.evaluate import evaluate
from validators.reference.wiring import find_functions
from validators.units import to_si


class CoreBench:
    """The values of every quantity without a fault, and what the sheet says of every result.

    Parameters
    ----------
    bench : Bench
        The builds.
    """

    def __init__(self, bench: Bench) -> None:
        self.bench, self.recomputer = bench, bench.recomputer
        self.plan, self.catalogue = bench.plan, bench.plan.catalogue
        inputs, marks = self.recomputer.arrays(bench.batch)
        self.keys = list(dict.fromkeys(cell.key for cell in self.recomputer.computed))
        self.settings: dict[str, Any] = {
            "required": self.plan.stage_inputs, "items": self.catalogue.items,
        }
        self.shapes, self.relations = self.recomputer.shapes, self.recomputer.relations
        self.infinite: set[str] = set()
        results = evaluate(
            inputs, self.shapes, self.relations, self.recomputer.limited, self.keys,
            functions=[_noting(function, self.infinite) for function in find_functions()], **self.settings,
        )
        self.values = {**inputs, **results}
        self.by_sheet = {key: self._sheet_codes(key, marks) for key in self.keys}
        self.sound = {key: self._alike(key, self.values[key]) for key in self.keys}

    def _is_judged(self, key: str, endings: Collection[str]) -> bool:
        """Return whether the wiring makes this result for a limited quantity, with one of these endings."""
        quantity = self.catalogue.entries[key].of
        return bool(quantity) and key.removeprefix(f"{quantity}_") in endings

    def _sheet_codes(self, key: str, marks: Sequence[Sequence[Any]]) -> np.ndarray:
        """Return what the sheet shows of a result as numbers: in the shown unit, or codes."""
        entry, builds = self.catalogue.entries[key], self.bench.builds
        codes = [{mark_code(mark): float(n) for n, mark in enumerate(listed)} for listed in marks]
        words = self.catalogue.words.get(entry.words, ())
        columns = []
        for index in indices(entry, self.plan.build.layout, self.catalogue):
            shown = self.bench.by_sheet[element_name(key, index)]
            if entry.words:
                column = [float(words.index(v)) if v in words else np.inf for v in shown]
            elif entry.text:
                column = [
                    np.nan if v == "" else codes[n].get(mark_code(v), np.inf) for n, v in enumerate(shown)
                ]
            else:
                column = [np.nan if v == "" else v if isinstance(v, float) else np.inf for v in shown]
            columns.append(column)
        extents = self.shapes.extents(entry.over)
        return np.array(columns, dtype=float).T.reshape((builds, *extents))

    def _alike(self, key: str, value: np.ndarray) -> np.ndarray:
        """Return where a result agrees with the sheet."""
        entry, wanted = self.catalogue.entries[key], self.by_sheet[key]
        if entry.measure:
            factor, offset = to_si(self.catalogue.measures[entry.measure], self.plan.build.family)
            value = (value - offset) / factor
        with np.errstate(all="ignore"):
            bound = np.maximum(RELATIVE * np.maximum(np.abs(value), np.abs(wanted)), ABSOLUTE)
            near = (np.abs(value - wanted) <= bound) & np.isfinite(wanted)
        return near | (np.isnan(value) & np.isnan(wanted))

    def shows(self, fault: CoreFault) -> bool:
        """Return whether a fault in a function shows in any build."""
        reached = users()[fault.name]
        endings = {ending for name, ending in JUDGING.items() if name in reached}
        keys = [key for key in self.keys if key in reached or self._is_judged(key, endings)]
        with _in_place(fault), warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return any(self._differs(key, fault) for key in keys)

    def _differs(self, key: str, fault: CoreFault) -> bool:
        given = {name: value for name, value in self.values.items() if name != key}
        judged = self.catalogue.entries[key].of
        limited = [record for record in self.recomputer.limited if record.quantity == judged]
        infinite: set[str] = set()
        listed = [
            _noting(_current(function), infinite) for function in find_functions() if function.__name__ == key
        ]
        try:
            found = evaluate(
                given, self.shapes, self.relations, limited, [key],
                functions=listed, **self.settings,
            )[key]
        except Exception:
            return True  # whatever a fault brings about, it is seen
        # The evaluation would blank what is infinite; a function says itself what cannot be.
        return bool(infinite - self.infinite) or bool(np.any(~self._alike(key, found) & self.sound[key]))


def _noting(function: Callable[..., Any], infinite: set[str]) -> Callable[..., Any]:
    """Return a function that takes note of itself where its answer is infinite."""

    @wraps(function)
    def noted(**given: Any) -> Any:
        answer = function(**given)
        if np.any(np.isinf(answer)):
            infinite.add(function.__name__)
        return answer

    return noted


def _current(function: Callable[..., Any]) -> Callable[..., Any]:
    """Return what stands in a function's place at the moment."""
    return getattr(modules()[function.__module__.rpartition(".")[2]], function.__name__)


@contextmanager
def _in_place(fault: CoreFault) -> Iterator[None]:
    """Put a function with a fault wherever the sound one is called, and back again."""
    sound, faulty = getattr(fault.module, fault.name), fault.function()
    homes: list[ModuleType] = [
        module for module in (*modules().values(), evaluating) if getattr(module, fault.name, None) is sound
    ]
    for module in homes:
        setattr(module, fault.name, faulty)
    try:
        yield
    finally:
        for module in homes:
            setattr(module, fault.name, sound)
