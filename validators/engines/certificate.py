"""The proof as a certificate: which engines computed how many builds, and how far they were from the core."""

from __future__ import annotations

import contextlib
import importlib.metadata
import json
import multiprocessing
import platform
import time
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from functools import partial
from typing import Any, Protocol

from sheetgen.build import new_build
from sheetgen.plan import Plan, plan_workbook
from validators.edge_builds import proof_builds
from validators.engines.engine import Engine, EngineError, FormulasEngine, Write, place_of
from validators.engines.formualizer_engine import FormualizerEngine
from validators.engines.office_engine import OfficeEngine
from validators.prove import Part, compared, sort_out_rounding
from validators.random_texts import COUNTING, EVERY, has_texts, with_texts
from validators.recompute import Recomputer

TOGETHER = 40
"""Builds that go through every engine before the next ones are made."""

LISTED = 20
"""Differences of one kind that are printed."""


class Maker(Protocol):
    """A kind of engine: its version, and one of it for a workbook."""

    def __call__(self, recomputer: Recomputer, write: Write) -> Engine:
        """Make one for a workbook."""
        ...

    def version(self) -> str:
        """Return what computes, with its version."""
        ...


ENGINES: Mapping[str, Maker] = {
    "formulas": FormulasEngine,
    "formualizer": FormualizerEngine,
    "office": OfficeEngine,
}


@dataclass(frozen=True, slots=True)
class Certificate:
    """What a run showed.

    Parameters
    ----------
    engines : mapping
        Each engine that took part to its version.
    absent : mapping
        Each engine that did not, to the reason.
    seed : int
        The first build's seed.
    parts : mapping
        Each engine to one part for each layout and family of units.
    plans : mapping
        Layout and family to the digest of the workbook that was filled.
    seconds : float
        How long it took.
    """

    engines: Mapping[str, str]
    absent: Mapping[str, str]
    seed: int
    parts: Mapping[str, Sequence[Part]]
    plans: Mapping[str, str] = field(default_factory=dict)
    seconds: float = 0.0

    @property
    def holds(self) -> bool:
        """True when something was computed, nothing differed and no formula cell held an error."""
        parts = [part for found in self.parts.values() for part in found]
        return any(part.builds for part in parts) and not any(
            part.disagreements or part.errors for part in parts
        )

    def lines(self) -> Iterator[str]:
        """Yield the certificate as a person reads it."""
        yield f"boreledger {importlib.metadata.version('boreledger')}, Python {platform.python_version()}"
        for name, version in self.engines.items():
            yield f"engine {name}: {version}"
        for name, why in self.absent.items():
            yield f"engine {name} took no part: {why}"
        yield f"seeds from {self.seed}; texts among the numbers of one build in {EVERY}; {self.seconds:.0f} s"
        yield ""
        yield f"{'layout':<12}{'units':<12}{'engine':<13}{'builds':>7}{'results':>10}  worst difference"
        for name, parts in self.parts.items():
            for part in parts:
                yield _line(name, part)
        yield ""
        for name, parts in self.parts.items():
            whole = _whole(parts)
            yield (
                f"{name}: {whole.builds} builds, {whole.results + whole.repeated} cells compared, "
                f"{len(whole.disagreements)} differences, {len(whole.errors)} error values, "
                f"{len(whole.rounding)} that the last binary digit of an entry decides"
            )
            yield from (f"  {item}" for item in (*whole.disagreements, *whole.errors)[:LISTED])
        yield ""
        yield "every cell agrees with the core" if self.holds else "NOT every cell agrees with the core"

    def as_json(self) -> str:
        """Return the certificate for other programs."""
        rows = [
            {
                "engine": name, "layout": part.layout, "units": part.family, "builds": part.builds,
                "results": part.results, "repeated": part.repeated, "worst": part.worst,
                "worst_at": part.worst_at, "differences": [str(item) for item in part.disagreements],
                "errors": [str(item) for item in part.errors],
                "last_digit": [str(item) for item in part.rounding],
            }
            for name, parts in self.parts.items()
            for part in parts
        ]
        told: dict[str, Any] = {
            "boreledger": importlib.metadata.version("boreledger"),
            "python": platform.python_version(),
            "engines": dict(self.engines), "absent": dict(self.absent), "seed": self.seed,
            "seconds": round(self.seconds, 1), "plans": dict(self.plans), "holds": self.holds, "parts": rows,
        }
        return json.dumps(told, indent=1, ensure_ascii=False) + "\n"


def _whole(parts: Sequence[Part]) -> Part:
    whole = Part("all", "both")
    for part in parts:
        whole.add(part)
    return whole


def _line(name: str, part: Part) -> str:
    worst = f"{part.worst:.1e} at {part.worst_at}" if part.worst_at else "none"
    return f"{part.layout:<12}{part.family:<12}{name:<13}{part.builds:7}{part.results:10}  {worst}"


def certify(
    layouts: Sequence[str],
    families: Sequence[str],
    builds: int,
    seed: int,
    engines: Sequence[str],
    write: Write,
    *,
    minutes: float | None = None,
    jobs: int = 1,
    echo: Callable[[str], None] = lambda _: None,
) -> Certificate:
    """Put the same filled workbooks through several engines, and compare each with the core.

    Parameters
    ----------
    layouts, families : sequences of str
        Every layout is taken in every family of units.
    builds : int
        Random builds for each.
    seed : int
        The first build's seed; the others follow it.
    engines : sequence of str
        Of `ENGINES`; one that is not installed takes no part, and the certificate says so.
    write : callable
        Makes the file of a plan.
    minutes : float, optional
        Stop after so long, the time shared among layouts and families; counts are what was done.
    jobs : int
        How many layouts and families are computed side by side.
    echo : callable
        Is told of each part when it is done.

    Raises
    ------
    EngineError
        None of the engines is installed, or one breaks down.
    """
    there: dict[str, str] = {}
    absent: dict[str, str] = {}
    for name in engines:
        try:
            there[name] = ENGINES[name].version()
        except EngineError as error:
            absent[name] = str(error)
    if not there:
        raise EngineError("; ".join(absent.values()))
    start = time.monotonic()
    parts: dict[str, list[Part]] = {name: [] for name in there}
    plans: dict[str, str] = {}
    tasks = [(layout, family) for layout in layouts for family in families]
    seeds = range(seed, seed + builds)
    until = None if minutes is None else start + 60 * minutes
    one = partial(_one_task, seeds=seeds, names=list(there), write=write, until=until)
    left = [-(-(len(tasks) - number) // jobs) for number in range(len(tasks))]
    with _side_by_side(jobs) as mapped:
        for (layout, family), (digest, found) in zip(tasks, mapped(one, tasks, left), strict=True):
            plans[f"{layout} {family}"] = digest
            for name, part in found.items():
                parts[name].append(part)
                echo(_line(name, part))
    return Certificate(there, absent, seed, parts, plans, time.monotonic() - start)


@contextlib.contextmanager
def _side_by_side(jobs: int) -> Iterator[Callable[..., Iterable[Any]]]:
    if jobs == 1:
        yield map
        return
    with ProcessPoolExecutor(jobs, multiprocessing.get_context("spawn")) as pool:
        yield pool.map


def _one_task(
    task: tuple[str, str], turns_left: int, *, seeds: range, names: Sequence[str], write: Write,
    until: float | None,
) -> tuple[str, dict[str, Part]]:
    """Compute one layout and family; of the time that is left as much as leaves the others theirs."""
    plan = plan_workbook(new_build(*task))
    if until is not None:
        now = time.monotonic()
        until = now + (until - now) / turns_left
    return plan.digest, _through(plan, task[0], seeds, names, write, until)


def _through(
    plan: Plan, layout: str, seeds: range, names: Sequence[str], write: Write, until: float | None
) -> dict[str, Part]:
    """Put the builds of one layout and family through the engines, until the time is over."""
    recomputer = Recomputer(plan)
    parts = {name: Part(layout, plan.build.family) for name in names}
    engines: dict[str, Engine] = {}
    counting = {
        place_of(cell.sheet, cell.address, cell.name)
        for cell in plan.cells
        if cell.key in COUNTING or cell.role in ("missing", "first_gap_label")
    }
    try:
        for name in names:
            engines[name] = ENGINES[name](recomputer, write)
        for first in range(0, len(seeds), TOGETHER):
            if until is not None and first and time.monotonic() > until:
                break
            some = seeds[first : first + TOGETHER]
            batch = [
                with_texts(plan, build, one) if has_texts(one) else build
                for one, build in zip(some, proof_builds(recomputer, some), strict=True)
            ]
            by_core = recomputer.reference(batch)
            for name, engine in engines.items():
                found = compared(layout, plan, some, batch, engine.values(batch), by_core)
                found.disagreements = [
                    item for item in found.disagreements
                    if not (has_texts(item.seed) and item.name in counting)
                ]
                sort_out_rounding(found, recomputer, dict(zip(some, batch, strict=True)))
                parts[name].add(found)
    finally:
        for engine in engines.values():
            engine.close()
    return parts
