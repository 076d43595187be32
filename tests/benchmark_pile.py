"""Piles of returned workbooks for `tests.benchmark`: every file with readings of its own, for little.

Copies are filled in and computed many at a time, as those of the corpus are; each has a job number, and the
birth record that goes with it. So no file of a pile says what another says, and nothing that was read or
computed for one is of use to the next but what real files of one engine share: formats, words and formulas.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

from sheetgen.plan import plan_workbook
from tests.corpus.copies import CLEAN, Ordered, ordered, written
from tests.corpus.engines import CorpusEngine, corpus_engine
from tests.fuzz.members import Parts, packed, unpacked

TEXTS, SHEETS = "xl/sharedStrings.xml", "xl/worksheets/"
TOGETHER = 40
"""So many are computed at a time."""


def write_pile(folder: Path, name: str, numbers: range, distinct: int = 0) -> None:
    """Write workbooks of one engine; the readings repeat after `distinct` of them, with 0 never."""
    engine = corpus_engine(name)
    seeds = [number % distinct if distinct else number for number in numbers]
    for at in range(0, len(numbers), TOGETHER):
        share = seeds[at:at + TOGETHER]
        once = list(dict.fromkeys(share))
        filled = dict(zip(once, written(_orders(once, name)), strict=True))
        for number, seed in zip(numbers[at:at + TOGETHER], share, strict=True):
            job = f"B-{number:05d}"
            (folder / f"{job}.xlsx").write_bytes(packed(renamed(unpacked(filled[seed]), engine, job)))


def _orders(seeds: Iterable[int], name: str) -> list[Ordered]:
    found = [ordered(CLEAN, seed, (name,)) for seed in seeds]
    return [one for one in found if one is not None]  # a copy without a fault can always be had


def renamed(filled: Parts, engine: CorpusEngine, job: str) -> Parts:
    """Return a filled workbook under another job number, with the birth record that goes with it."""
    build = replace(engine.build, entries={**engine.build.entries, ("job_number", ()): job})
    old = str(engine.build.entries["job_number", ()]).encode()
    old_digest, digest = engine.plan.digest.encode(), plan_workbook(build).digest.encode()
    return {
        part: content.replace(old, job.encode()).replace(old_digest, digest)
        if part == TEXTS or part.startswith(SHEETS) else content
        for part, content in filled.items()
    }


def write_in_parts(folder: Path, name: str, sheets: int, distinct: int, jobs: int) -> None:
    """Have the pile written by other processes: what they take up is not to be counted as the command's."""
    bounds = [sheets * part // jobs for part in range(jobs + 1)]
    call = [sys.executable, "-m", "tests.benchmark", "--folder", str(folder), "--engine", name]
    writers = [
        subprocess.Popen([*call, "--distinct", str(distinct), "--write", str(first), str(end)],
                         cwd=Path(__file__).parents[1])
        for first, end in pairwise(bounds) if end > first
    ]
    ended = [writer.wait() for writer in writers]
    if any(ended):
        raise SystemExit("the pile could not be written")
