"""Spoils, checks and judges: every file from base, level and seed, in workers with the usual ceilings."""

from __future__ import annotations

import random
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache

from tests.fuzz.markup import spoilt_cells, spoilt_structure
from tests.fuzz.members import STORED_SHARE, spoilt_bytes, spoilt_members, unpacked
from tests.fuzz.oracle import Base, fault_of, live_in_reports
from tests.fuzz.packing import Packing
from tests.returned.workbooks import engine
from validators.batch import Outcome
from validators.ceilings import Ceilings, RunLimits
from validators.findings import BatchReport, Severity, SheetReport
from validators.pile import Piece
from validators.workers import check_in_workers

LEVELS = ("bytes", "members", "structure", "cells")
TURNS = (("bytes",) * 9 + ("members",) * 2 + ("structure",) + ("cells",)) * 3 + ("members",)
"""Most files are spoilt where it costs least to see that they are."""

BASES = ("twin", "three")
IN_A_ROW = 3200
"""So many seeds spoil one workbook, before the next has its turn."""

PORTION = 128
REPORT_EACH = 10
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
def _packing(name: str) -> Packing:
    return Packing(unpacked(_base(name).data))


@cache
def _whole(name: str, *, plain: bool) -> bytes:
    parts = _packing(name).parts
    return _packing(name).packed(parts, frozenset(parts if plain else ()))


def level_of(seed: int, turns: Sequence[str] = TURNS) -> str:
    """Return where a seed spoils a workbook."""
    return turns[seed % len(turns)]


def spoilt(seed: int, level: str = "") -> bytes:
    """Return a spoilt workbook, the same for the same seed."""
    base, level = base_of(seed), level or level_of(seed)
    chance = random.Random(f"{level} {seed}")
    packing = _packing(base.name)
    if level == "bytes":
        return spoilt_bytes(_whole(base.name, plain=chance.random() < 1 - STORED_SHARE), chance)
    if level == "members":
        return spoilt_members(packing.parts, chance, packing.packed)
    plain = chance.random() < STORED_SHARE
    parts = (spoilt_structure if level == "structure" else spoilt_cells)(packing.parts, chance)
    return packing.packed(parts, frozenset(parts if plain else ()))


@dataclass
class Tally:
    """What came of a run."""

    files: int = 0
    codes: Counter[str] = field(default_factory=Counter)
    clean: int = 0
    unread: int = 0
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
    judge = _Judge(first, reports=reports, told=told)

    def portions() -> Iterator[list[Piece]]:
        for start in range(first, first + files, PORTION):
            made = {}
            for seed in range(start, min(start + PORTION, first + files)):
                level = level_of(seed, turns)
                made[f"{level}-{seed}.xlsx"] = seed, level, spoilt(seed, level)
            yield judge.expect(made)

    check_in_workers(portions(), jobs, RunLimits(ceilings=CEILINGS), None, judge.put)
    return judge.tally


class _Judge:
    """Judges what came of each file, and of each portion when all of it is there."""

    def __init__(self, first: int, *, reports: bool, told: float) -> None:
        self.tally = Tally()
        self.first, self.reports, self.told = first, reports, told
        self.made: dict[str, tuple[int, str, bytes]] = {}
        self.left: dict[int, int] = {}
        self.found: dict[int, list[SheetReport]] = {}
        self.began = self.since = self.last = time.monotonic()

    def _portion(self, seed: int) -> int:
        return (seed - self.first) // PORTION

    def expect(self, made: dict[str, tuple[int, str, bytes]]) -> list[Piece]:
        """Take note of a portion, and return it as pieces of a pile."""
        self.made |= made
        seeds = [seed for seed, _, _ in made.values()]
        self.left[self._portion(seeds[0])] = len(seeds)
        return [Piece(place=place, data=data) for place, (_, _, data) in made.items()]

    def put(self, piece: Piece, outcome: Outcome) -> None:
        """Judge one file."""
        seed, level, data = self.made.pop(piece.place)
        found = outcome.report.findings
        self.tally.codes.update({finding.code for finding in found})
        self.tally.clean += not any(f.severity is not Severity.INFORMATION for f in found)
        faults = [f.found for f in found if "seconds to read" in f.found or "of memory" in f.found]
        fault = fault_of(base_of(seed), data, outcome)
        self.tally.unread += fault is None
        faults += [fault] if fault else []
        self.say([f"{level} {seed}: {words}" for words in faults])
        number = self._portion(seed)
        self.found.setdefault(number, []).append(outcome.report)
        self.left[number] -= 1
        if not self.left[number]:
            del self.left[number]
            self.finish(number, self.found.pop(number))

    def finish(self, number: int, found: list[SheetReport]) -> None:
        """Look at a portion as a whole."""
        start = self.first + number * PORTION
        if self.reports and start // PORTION % REPORT_EACH == 0:
            live = live_in_reports(BatchReport(sheets=tuple(found)), workbook=True)
            if live:
                self.say([f"reports of {start} to {start + len(found) - 1}: {live}"])
        self.tally.files += len(found)
        now = time.monotonic()
        self.tally.slowest, self.last = max(self.tally.slowest, now - self.last), now
        if self.told and now - self.since >= self.told:
            self.since = now
            print(f"{self.tally.files} files in {now - self.began:.0f} s from seed {self.first}, "
                  f"{len(self.tally.faults)} faults", flush=True)

    def say(self, faults: list[str]) -> None:
        """Keep faults, and print them where progress is told."""
        self.tally.faults += faults
        if self.told and faults:
            print("\n".join(faults), flush=True)


def told_of(tally: Tally, first: int) -> str:
    """Return a tally in a few lines."""
    import resource

    memory = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    codes = ", ".join(f"{code} {count}" for code, count in sorted(tally.codes.items()))
    lines = [
        f"{tally.files} files, seeds {first} to {first + tally.files - 1}: {len(tally.faults)} faults; "
        f"{tally.clean} called clean, {tally.unread} of which another reader cannot read, and all others "
        "read the same by it",
        f"largest worker {memory:.0f} MB, slowest portion {tally.slowest:.1f} s",
        f"files with a finding: {codes}", *tally.faults,
    ]
    return "\n".join(lines)
