"""Proof that the proof can fail: every formula and every function of the core with single faults.

A formula with a fault is computed alone, from the values that its precedents have without a fault,
and compared with the core. A function with a fault is computed from the core's own values and
compared with the sheet. A fault that shows in no build *survives*: either it changes nothing, or
the builds are too weak to see it.
"""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import cache

from sheetgen.catalogue import load_catalogue
from validators.core_bench import CoreBench
from validators.core_mutants import CoreFault, core_faults, functions, unreached
from validators.formula_mutants import Fault, faults, written
from validators.formula_statements import Statement, statements
from validators.mutation_bench import bench

BENCHES = (("inline-3", "millimetre", 640), ("v6", "inch", 640), ("12", "", 192))
"""Layout, family of units and number of builds; the later ones only see what survives the first."""

WITH_TEXTS = ("inline-3", "millimetre", 320, True)
"""Builds with texts where numbers belong, for faults in formulas: to the core a text is not there."""

GOAL = 0.98
"""Share of the faults that must show in builds alone, without the outside checks."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one fault.

    Parameters
    ----------
    where, change : str
        Which formula or function, and what was changed.
    original, mutant : str
        How it stands, and with the fault.
    shows : bool or None
        True where a build shows the fault; None where it cannot be computed at all.
    """

    where: str
    change: str
    original: str
    mutant: str
    shows: bool | None


@dataclass(frozen=True, slots=True)
class Tally:
    """The outcomes of one part: formulas, or core."""

    part: str
    outcomes: tuple[Outcome, ...]

    @property
    def total(self) -> int:
        """Number of faults that can be computed."""
        return sum(outcome.shows is not None for outcome in self.outcomes)

    @property
    def killed(self) -> int:
        """Number of faults that show."""
        return sum(outcome.shows is True for outcome in self.outcomes)

    @property
    def share(self) -> float:
        """Share of the faults that show."""
        return self.killed / self.total if self.total else 0.0

    @property
    def survivors(self) -> tuple[Outcome, ...]:
        """Faults that show in no build."""
        return tuple(outcome for outcome in self.outcomes if outcome.shows is False)

    def lines(self) -> Iterator[str]:
        """Yield the outcome as a person reads it."""
        senseless = len(self.outcomes) - self.total
        yield (
            f"{self.part}: {self.killed} of {self.total} faults show ({self.share:.2%}); "
            f"{senseless} more cannot be computed at all"
        )
        for outcome in self.survivors:
            yield f"  survives  {outcome.where}  {outcome.change}"
            yield f"            {outcome.original}"
            yield f"            {outcome.mutant}"


@dataclass(frozen=True, slots=True)
class Report:
    """Both parts."""

    formulas: Tally
    core: Tally

    @property
    def holds(self) -> bool:
        """True when enough faults show in both parts."""
        return min(self.formulas.share, self.core.share) >= GOAL

    def lines(self) -> Iterator[str]:
        """Yield the outcome as a person reads it."""
        yield from self.formulas.lines()
        yield from self.core.lines()


@cache
def formula_faults() -> tuple[tuple[str, Fault], ...]:
    """Return every fault of every formula, with where the formula is stated."""
    return tuple(
        (statement.where, fault)
        for statement in _statements(0).values()
        for fault in faults(statement.formula, statement.places, statement.kinds, statement.others)
    )


@cache
def all_core_faults() -> tuple[CoreFault, ...]:
    """Return every fault of every function of the core that a result rests on."""
    outside = outside_the_workbook()
    return tuple(fault for where in functions() if where not in outside for fault in core_faults(where))


def outside_the_workbook() -> tuple[str, ...]:
    """Return the functions of the core that no result rests on, so that no fault of theirs can show."""
    results = [entry.key for entry in load_catalogue().entries.values() if entry.kind == "result"]
    return tuple(unreached(results))


@cache
def _statements(number: int) -> dict[str, Statement]:
    setting = (*BENCHES, WITH_TEXTS)[number]
    return {statement.where: statement for statement in statements(bench(*setting).plan)}


@cache
def _core_bench(number: int) -> CoreBench:
    return CoreBench(bench(*BENCHES[number]))


def _formula_outcome(number: int) -> Outcome:
    where, fault = formula_faults()[number]
    shows: bool | None = None
    for place, setting in enumerate((*BENCHES, WITH_TEXTS)):
        statement = _statements(place).get(where)
        if statement is None:
            continue
        seen = bench(*setting).shows(statement, fault.formula)
        shows = seen if seen is not None else shows
        if seen:
            break
    statement = _statements(0)[where]
    return Outcome(where, fault.change, statement.text, f"={written(fault.formula, statement.places)}", shows)


def _core_outcome(number: int) -> Outcome:
    fault = all_core_faults()[number]
    shows = any(_core_bench(place).shows(fault) for place in range(len(BENCHES)))
    return Outcome(fault.where, fault.change, fault.original, fault.mutant, shows)


def mutate_formulas(numbers: Sequence[int] | None = None, jobs: int = 1) -> Tally:
    """Try faults in formulas: all of them, or those with these numbers."""
    chosen = range(len(formula_faults())) if numbers is None else numbers
    return Tally("formulas", tuple(_mapped(_formula_outcome, chosen, jobs)))


def mutate_core(numbers: Sequence[int] | None = None, jobs: int = 1) -> Tally:
    """Try faults in functions of the core: all of them, or those with these numbers."""
    chosen = range(len(all_core_faults())) if numbers is None else numbers
    return Tally("core", tuple(_mapped(_core_outcome, chosen, jobs)))


def mutate_all(jobs: int = 1) -> Report:
    """Try every fault."""
    return Report(mutate_formulas(jobs=jobs), mutate_core(jobs=jobs))


def _mapped(one: Callable[[int], Outcome], numbers: Sequence[int], jobs: int) -> list[Outcome]:
    if jobs == 1:
        return [one(number) for number in numbers]
    for setting in (*BENCHES, WITH_TEXTS):
        bench(*setting).by_sheet  # noqa: B018  computed here, so that every worker finds it
    with ProcessPoolExecutor(jobs, multiprocessing.get_context("fork")) as pool:
        return list(pool.map(one, numbers, chunksize=25))


__all__ = [
    "BENCHES", "GOAL", "Outcome", "Report", "Tally", "all_core_faults", "formula_faults", "mutate_all",
    "mutate_core", "mutate_formulas", "outside_the_workbook",
]
