"""Copies of the corpus: from kind and seed to the bytes of a returned workbook, the same each time."""

from __future__ import annotations

import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from sheetgen.plan import Plan
from tests.corpus.bench_faults import BENCH
from tests.corpus.damage import DAMAGE, NO_FAULT
from tests.corpus.engines import ENGINES, corpus_engine
from tests.corpus.fault import Fault, Kind
from tests.corpus.hand import HAND
from tests.corpus.readings import Copy, clean_copy
from validators.readings import stored_day

CLEAN, PAIR = "clean", "two"
FAULTY = {**HAND, **BENCH, **DAMAGE}
ALIKE = 25
"""So many seeds one after the other are of one engine."""

TRIES = 20
MOVING = {"CELL01", "CELL05", "CELL10"}
"""What is edited last, for other edits go by where a cell stood when the workbook was issued."""

SETS = 8
"""So many sets of readings of an engine serve every kind of fault: what is equal is recomputed once. Copies
of one kind begin with different ones; copies without a fault have their own."""

TOGETHER = 100
"""So many copies of an engine are written and checked in one go."""


@dataclass(frozen=True)
class Ordered:
    """One copy of the corpus, before it is written."""

    kind: str
    seed: int
    copy: Copy
    faults: tuple[Fault, ...]


def ordered(kind: str, seed: int, engines: Sequence[str] = tuple(ENGINES)) -> Ordered | None:
    """Return a copy of a kind: "clean", "two" or one of the kinds of fault.

    Where the readings of a seed cannot have the fault (no entry in that form), the next ones are drawn;
    None where no copy of this engine can have it (a set of two is no set to be unlike).
    """
    engine = corpus_engine(engines[seed // ALIKE % len(engines)])
    for turn in range(TRIES):
        chance = random.Random(f"{kind} {seed} {turn}")
        names = chance.sample(list(FAULTY), 2) if kind == PAIR else [] if kind == CLEAN else [kind]
        kinds = [(FAULTY | NO_FAULT)[name] for name in names]
        if len({one.deviation for one in kinds if one.deviation is not None}) > 1:
            continue  # the two want the same readings typed in two ways
        drawn = chance if kind == CLEAN else random.Random(f"readings {seed % SETS} {turn}")
        copy = clean_copy(engine, drawn, _forms(kinds))
        faults = [made for one in kinds if (made := one.make(copy, chance)) is not None]
        if len(faults) == len(kinds) and not _in_the_way(faults):
            return Ordered(kind, seed, copy, tuple(faults))
    return None


def _forms(kinds: Sequence[Kind]) -> frozenset[str] | None:
    wanted = [one.deviation for one in kinds if one.deviation is not None]
    return wanted[0] if wanted else None


def _in_the_way(faults: Sequence[Fault]) -> bool:
    """Return whether one fault of two would undo the other, or keep the file from being read."""
    if len(faults) < 2:
        return False
    if any(one.codes & {"FILE04", "BIRTH01", "CELL01", "CALC01"} or not one.decidable for one in faults):
        return True
    return bool(set(faults[0].typed) & set(faults[1].typed) or faults[0].places & faults[1].places)


def written(batch: Sequence[Ordered]) -> list[bytes]:
    """Return the workbooks of copies of one engine."""
    engine = batch[0].copy.engine
    plan = engine.plan
    typed = []
    for order in batch:
        own = dict(order.copy.typed)
        for fault in order.faults:
            own.update(fault.typed)
        typed.append(own)
    start = {cell.name: _stored(plan, cell.key, cell.value) for cell in plan.cells if cell.is_input}
    counted = [
        start | {name: _counted(plan, name, value) for name, value in own.items()} for own in typed
    ]
    computed = engine.recomputer.recalculated(counted)
    place = {cell.name or f"{cell.sheet}!{cell.address}": (cell.sheet, cell.address) for cell in plan.cells}
    found = []
    for number, (order, own) in enumerate(zip(batch, typed, strict=True)):
        data = engine.issued.filled(
            {place[name]: value for name, value in own.items()},
            {place[name]: str(v) if not isinstance(v := values[number], int | float | str | None) else v
             for name, values in computed.items()},
        )
        for fault in sorted(order.faults, key=lambda one: bool(one.codes & MOVING)):
            data = data if fault.edit is None else fault.edit(data)
        found.append(data)
    return found


def _stored(plan: Plan, key: str, value: Any) -> Any:
    if plan.catalogue.entries[key].text == "date" and value is not None:
        return stored_day(str(value))
    return float(value) if isinstance(value, int) else value


def _counted(plan: Plan, name: str, value: Any) -> Any:
    """Return what a spreadsheet counts of what was typed: text is no number."""
    measure = plan.catalogue.entries[plan.by_name[name].key].measure
    return None if measure and isinstance(value, str) else value


def batches(orders: Iterable[Ordered]) -> list[list[Ordered]]:
    """Return copies sorted by engine, in groups that are recomputed in one go."""
    by_engine: dict[str, list[Ordered]] = {}
    for order in orders:
        by_engine.setdefault(order.copy.engine.name, []).append(order)
    return [
        group[at:at + TOGETHER] for group in by_engine.values() for at in range(0, len(group), TOGETHER)
    ]
