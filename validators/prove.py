"""Proof that the two statements of the physics agree: random builds through formulas and core."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from typing import Any, TypeVar

from sheetgen.build import BuildDefinition, new_build, presets
from sheetgen.catalogue import FAMILIES, Catalogue, load_catalogue
from sheetgen.plan import Plan, formula_cells, plan_workbook
from validators.agree import ABSOLUTE, RELATIVE, agrees
from validators.cell_values import ErrorValue
from validators.edge_builds import proof_builds
from validators.last_digit import MovedCopies
from validators.places import cell_key
from validators.recompute import PLUMBING, Recomputer
from validators.shown_again import repeated

MADE_TOGETHER, CHUNK = 200, 50
"""Builds that are made, and recalculated, together; bounds the memory of a run."""

Shown = float | str | None
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Disagreement:
    """A cell for which sheet and core, or a figure and its repetition, are not the same."""

    build: str
    name: str
    seed: int
    by_sheet: object
    by_core: object

    def __str__(self) -> str:
        return (
            f"{self.build}, build {self.seed}, {self.name}: "
            f"{self.by_sheet!r} by the sheet, {self.by_core!r} by the core"
        )


@dataclass(slots=True)
class Part:
    """What the builds of one layout in one family of units showed."""

    layout: str
    family: str
    builds: int = 0
    results: int = 0
    numbers: int = 0
    repeated: int = 0
    worst: float = 0.0
    worst_at: str = ""
    disagreements: list[Disagreement] = field(default_factory=list)
    rounding: list[Disagreement] = field(default_factory=list)
    errors: list[Disagreement] = field(default_factory=list)
    filled: Counter[str] = field(default_factory=Counter)
    words: Counter[tuple[str, str]] = field(default_factory=Counter)

    @property
    def share(self) -> float:
        """Share of the compared results that were numbers and not blank or words."""
        return self.numbers / self.results if self.results else 0.0

    def add(self, other: Part) -> None:
        """Take in what other builds of the same kind showed."""
        self.builds += other.builds
        self.results += other.results
        self.numbers += other.numbers
        self.repeated += other.repeated
        if other.worst > self.worst:
            self.worst, self.worst_at = other.worst, other.worst_at
        self.disagreements += other.disagreements
        self.rounding += other.rounding
        self.errors += other.errors
        self.filled += other.filled
        self.words += other.words


@dataclass(frozen=True, slots=True)
class Proof:
    """What a run showed, part by part."""

    parts: tuple[Part, ...]

    @property
    def whole(self) -> Part:
        """All parts taken together."""
        whole = Part("all layouts", "both families")
        for part in self.parts:
            whole.add(part)
        return whole

    @property
    def never_filled(self) -> tuple[str, ...]:
        """Results with a measure or a mark that were blank in every build."""
        filled = self.whole.filled
        return tuple(
            key for key, entry in _results(load_catalogue()) if not entry.words and not filled[key]
        )

    @property
    def words_never(self) -> tuple[tuple[str, str], ...]:
        """Words of a result's list that no build brought about."""
        found, catalogue = self.whole.words, load_catalogue()
        return tuple(
            (key, word)
            for key, entry in _results(catalogue)
            if entry.words
            for word in catalogue.words[entry.words]
            if not found[key, word]
        )

    @property
    def holds(self) -> bool:
        """True when nothing differed and no formula cell held an error."""
        return not any(part.disagreements or part.errors for part in self.parts)

    def lines(self) -> Iterator[str]:
        """Yield the outcome as a person reads it."""
        for part in (*self.parts, self.whole) if len(self.parts) > 1 else self.parts:
            yield (
                f"{part.layout:<12}{part.family:<14}{part.builds:6} builds {part.results:9} results "
                f"{part.share:6.1%} numbers  worst {part.worst:.1e}"
                f"{' at ' + part.worst_at if part.worst_at else ''}"
            )
        for found, what in (
            (self.whole.disagreements, "disagreements"),
            (self.whole.rounding, "differences that the last binary digit of an entry decides"),
            (self.whole.errors, "error values"),
        ):
            yield f"{len(found)} {what}"
            yield from (f"  {item}" for item in found[:20])
        if self.never_filled:
            yield f"never a value: {', '.join(self.never_filled)}"
        if self.words_never:
            yield "never said: " + ", ".join(f"{key} '{word}'" for key, word in self.words_never)


def _results(catalogue: Catalogue) -> Iterator[tuple[str, Any]]:
    for key, entry in catalogue.entries.items():
        if entry.kind == "result" and not key.endswith(PLUMBING):
            yield key, entry


def prove(
    layouts: Iterable[str],
    families: Iterable[str],
    builds: int,
    seed: int = 0,
    jobs: int = 1,
) -> Proof:
    """Compare both statements for layouts that are known by name.

    Parameters
    ----------
    layouts, families : iterables of str
        Every layout is taken in every family of units.
    builds : int
        Random builds for each.
    seed : int
        The first build's seed; the others follow it.
    jobs : int
        Worker processes.

    Returns
    -------
    Proof
        One part for each layout and family.
    """
    named = [
        (layout, new_build(layout, family)) for layout in layouts for family in families
    ]
    return prove_definitions(named, builds, seed, jobs)


def prove_definitions(
    named: Sequence[tuple[str, BuildDefinition]], builds: int, seed: int = 0, jobs: int = 1
) -> Proof:
    """Compare both statements for any build definitions, each with the name it is reported under."""
    tasks = [(name, definition, range(seed, seed + builds)) for name, definition in named]
    if jobs == 1:
        return Proof(tuple(prove_one(*task) for task in tasks))
    with ProcessPoolExecutor(jobs) as pool:
        return Proof(tuple(pool.map(prove_one, *zip(*tasks, strict=True))))


def prove_one(name: str, definition: BuildDefinition, seeds: Sequence[int]) -> Part:
    """Compare both statements for one build definition."""
    part = Part(name, definition.family)
    recomputer = Recomputer(plan_workbook(definition))
    for some in _slices(seeds, MADE_TOGETHER):
        batch = proof_builds(recomputer, some)
        for these, builds in zip(_slices(some, CHUNK), _slices(batch, CHUNK), strict=True):
            by_sheet = recomputer.recalculated(builds)
            by_core = recomputer.reference(builds)
            found = compared(name, recomputer.plan, these, builds, by_sheet, by_core)
            sort_out_rounding(found, recomputer, dict(zip(these, builds, strict=True)))
            part.add(found)
    return part


def sort_out_rounding(part: Part, recomputer: Recomputer, builds: Mapping[int, Mapping[str, Shown]]) -> None:
    """Set apart the disagreements that the last binary digits of the entries decide.

    Parameters
    ----------
    part : Part
        What a comparison found; its disagreements are sorted in place.
    recomputer : Recomputer
        Of the plan that was compared.
    builds : mapping of seed to entries
        The builds that were compared.
    """
    cells = {cell_key(cell): cell for cell in formula_cells(recomputer.plan)}
    real: list[Disagreement] = []
    for seed in dict.fromkeys(item.seed for item in part.disagreements):
        copies = MovedCopies(recomputer, builds[seed], seed)
        for item in part.disagreements:
            if item.seed == seed:
                slight = copies.decide(cells[item.name], item.by_sheet, item.by_core)
                (part.rounding if slight else real).append(item)
    part.disagreements = real


def occurrences(name: str, definition: BuildDefinition, seeds: Sequence[int]) -> Part:
    """Count which values and words the core gives for one build definition, without the sheet."""
    part = Part(name, definition.family)
    recomputer = Recomputer(plan_workbook(definition))
    for some in _slices(seeds, MADE_TOGETHER):
        batch = proof_builds(recomputer, some)
        part.builds += len(batch)
        for cell_name, values in recomputer.reference(batch).items():
            _count(part, recomputer.catalogue, recomputer.plan.by_name[cell_name].key, values)
    return part


def _slices(items: Sequence[T], size: int) -> Iterator[Sequence[T]]:
    for start in range(0, len(items), size):
        yield items[start : start + size]


def compared(
    name: str,
    plan: Plan,
    seeds: Sequence[int],
    batch: Sequence[Mapping[str, Shown]],
    by_sheet: Mapping[str, Sequence[object]],
    by_core: Mapping[str, Sequence[Shown]],
) -> Part:
    """Compare what both statements say about a batch of builds.

    Parameters
    ----------
    name : str
        What the layout is called.
    plan : Plan
        What the sheets would be written from.
    seeds, batch : sequences
        The builds, and the seed of each.
    by_sheet : mapping of cell to values
        Every formula cell: by its name, or as ``sheet!address`` where it repeats a figure.
    by_core : mapping of cell name to values
        Every named result but the limits used.

    Raises
    ------
    KeyError
        A result is missing in one of the two.
    """
    family = plan.build.family
    part = Part(name, family, builds=len(seeds))
    for cell in plan.cells:
        if not cell.formula:
            continue
        place = cell.name or f"{cell.sheet}!{cell.address}"
        found = by_sheet[place]
        part.errors += [
            Disagreement(f"{name} {family}", place, seed, str(value), "")
            for seed, value in zip(seeds, found, strict=True)
            if isinstance(value, ErrorValue)
        ]
        if cell.key.endswith(PLUMBING):
            continue
        if cell.name:
            expected: Sequence[Shown] = by_core[cell.name]
            _count(part, plan.catalogue, cell.key, expected)
        else:
            part.repeated += len(seeds)
            expected = repeated(plan, cell, batch, by_core)
        entry = plan.catalogue.entries.get(cell.key)
        floor = entry.floor if entry else 0.0
        for seed, one, other in zip(seeds, found, expected, strict=True):
            value: Any = str(one) if isinstance(one, ErrorValue) else one
            if isinstance(value, bool) or not agrees(value, other, floor):
                part.disagreements.append(Disagreement(f"{name} {family}", place, seed, value, other))
            elif isinstance(value, float) and isinstance(other, int | float) and abs(value - other) > floor:
                difference = _relative(value, other)
                if difference > part.worst:
                    part.worst, part.worst_at = difference, f"{place}, build {seed}"
    return part


def _count(part: Part, catalogue: Catalogue, key: str, values: Sequence[Shown]) -> None:
    entry = catalogue.entries[key]
    part.results += len(values)
    if entry.words:
        part.words.update((key, str(value)) for value in values)
        return
    there = sum(value is not None and value != "" for value in values)
    part.filled[key] += there
    if entry.measure:
        part.numbers += there


def _relative(one: float, other: float) -> float:
    """Return the difference as `agrees` weighs it: relative, or absolute near zero."""
    return abs(one - other) / max(abs(one), abs(other), ABSOLUTE / RELATIVE)


def prove_and_print(
    builds: int,
    layouts: Sequence[str],
    families: Sequence[str],
    seed: int,
    *,
    mutants: bool = False,
    jobs: int = 1,
    echo: Callable[[str], None] = print,
) -> bool:
    """Run the proof for the command line; with `mutants`, prove as well that it can fail."""
    proof = prove(layouts or list(presets()), families or list(FAMILIES), builds, seed, jobs)
    for line in proof.lines():
        echo(line)
    return proof.holds and (not mutants or mutants_hold(jobs, echo))


def mutants_hold(jobs: int, echo: Callable[[str], None]) -> bool:
    """Prove that the proof can fail, and print how."""
    from validators.mutants import mutate_all

    report = mutate_all(jobs=jobs)
    for line in report.lines():
        echo(line)
    return report.holds


__all__ = [
    "Disagreement", "Part", "Proof", "compared", "mutants_hold", "occurrences", "prove", "prove_and_print",
    "prove_definitions", "prove_one", "sort_out_rounding",
]
