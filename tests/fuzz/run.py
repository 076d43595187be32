"""Spoils, checks and judges: every file from base, level and seed, in workers with the usual ceilings."""

from __future__ import annotations

import random
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache

from tests.fuzz.markup import spoilt_cells, spoilt_structure
from tests.fuzz.members import Parts, packed, spoilt_bytes, spoilt_members, unpacked
from tests.fuzz.oracle import Base, fault_of, live_in_reports
from tests.returned.workbooks import engine
from validators.ceilings import Ceilings, RunLimits
from validators.findings import BatchReport, Severity
from validators.pile import Piece
from validators.workers import check_in_workers

LEVELS = ("bytes", "members", "structure", "cells")
TURNS = ("bytes",) * 11 + ("members",) * 4 + ("structure",) * 3 + ("cells",) * 2
"""Most files are spoilt where it costs least to see that they are."""

BASES = ("twin", "three")
IN_A_ROW = 3200
"""So many seeds spoil one workbook, before the next has its turn."""

PORTION = 32
REPORT_EACH = 20
"""Every so many portions are made into reports of all kinds, too."""

CEILINGS = Ceilings(memory_bytes=2_000_000_000, seconds=30.0)


@cache
def base_of(seed: int) -> Base:
    """Return the workbook that a seed spoils."""
    return _base(BASES[seed // IN_A_ROW % len(BASES)])


@cache
def _base(name: str) -> Base:
    made = engine(name)
    return Base(name, made.plan, made.filled)


@cache
def _parts(name: str) -> Parts:
    return unpacked(_base(name).data)


@cache
def _quick(name: str) -> bytes:
    return packed(_parts(name))


def level_of(seed: int, turns: Sequence[str] = TURNS) -> str:
    """Return where a seed spoils a workbook."""
    return turns[seed % len(turns)]


def spoilt(seed: int, level: str = "") -> bytes:
    """Return a spoilt workbook, the same for the same seed."""
    base, level = base_of(seed), level or level_of(seed)
    chance = random.Random(f"{level} {seed}")
    parts = _parts(base.name)
    if level == "bytes":
        return spoilt_bytes(_quick(base.name), chance)
    if level == "members":
        return spoilt_members(parts, chance)
    return packed((spoilt_structure if level == "structure" else spoilt_cells)(parts, chance))


@dataclass
class Tally:
    """What came of a run."""

    files: int = 0
    codes: Counter[str] = field(default_factory=Counter)
    clean: int = 0
    faults: list[str] = field(default_factory=list)
    slowest: float = 0.0


def run(
    first: int, files: int, *, jobs: int = 1, reports: bool = True, told: float = 0.0,
    turns: Sequence[str] = TURNS,
) -> Tally:
    """Check spoilt workbooks of successive seeds.

    Parameters
    ----------
    first : int
        First seed.
    files : int
        How many.
    jobs : int
        Worker processes.
    reports : bool
        Whether reports are made of some portions and searched, too.
    told : float
        Seconds between two lines on progress; 0 says nothing.
    turns : sequence of str
        Levels that have their turn one after the other.
    """
    tally = Tally()
    waiting: list[list[tuple[int, str, bytes]]] = []

    def portions() -> Iterator[list[Piece]]:
        for start in range(first, first + files, PORTION):
            made = []
            for seed in range(start, min(start + PORTION, first + files)):
                level = level_of(seed, turns)
                made.append((seed, level, spoilt(seed, level)))
            waiting.append(made)
            yield [Piece(place=f"{level}-{seed}.xlsx", data=data) for seed, level, data in made]

    began = since = last = time.monotonic()
    for outcomes in check_in_workers(portions(), jobs, RunLimits(ceilings=CEILINGS)):
        made = waiting.pop(0)
        for (seed, level, data), outcome in zip(made, outcomes, strict=True):
            found = outcome.report.findings
            tally.codes.update({finding.code for finding in found})
            tally.clean += not any(f.severity is not Severity.INFORMATION for f in found)
            slow = [f.found for f in found if "seconds to read" in f.found or "of memory" in f.found]
            if fault := fault_of(base_of(seed), data, outcome):
                slow.append(fault)
            told_now = [f"{level} {seed}: {words}" for words in slow]
            tally.faults += told_now
            if told and told_now:
                print("\n".join(told_now), flush=True)
        if reports and made[0][0] // PORTION % REPORT_EACH == 0:
            pile = BatchReport(sheets=tuple(outcome.report for outcome in outcomes))
            live = live_in_reports(pile, workbook=True)
            if live:
                tally.faults.append(f"reports of {made[0][0]} to {made[-1][0]}: {live}")
        tally.files += len(made)
        now = time.monotonic()
        tally.slowest, last = max(tally.slowest, now - last), now
        if told and now - since >= told:
            since = now
            print(f"{tally.files} files in {now - began:.0f} s, seeds {first} to {first + tally.files - 1}, "
                  f"{len(tally.faults)} faults", flush=True)
    return tally


def told_of(tally: Tally, first: int) -> str:
    """Return a tally in a few lines."""
    import resource

    memory = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    codes = ", ".join(f"{code} {count}" for code, count in sorted(tally.codes.items()))
    lines = [
        f"{tally.files} files, seeds {first} to {first + tally.files - 1}: {len(tally.faults)} faults; "
        f"{tally.clean} called clean, and every one of these read the same by another reader",
        f"largest worker {memory:.0f} MB, slowest portion {tally.slowest:.1f} s",
        f"files with a finding: {codes}", *tally.faults,
    ]
    return "\n".join(lines)
