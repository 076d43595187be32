"""What grows with the number of files: ``python -m tests.benchmark_growth --files 1000 10000 100000``.

To check a file takes as long in a large pile as in a small one. What does not has to do with all of them: the
record that is kept of each, which are copies of one job, the overview, the report and its pages. Here one
sound file and a few with a fault are checked; what came of them is put away time and again under another name
and job number, with other readings and other people, and told as the run over a pile does. So piles can be
tried that would take hours to check.

One file in five has a fault. One in ten comes without a job number, so that only what was typed tells whose
copy it is; one in a thousand (``--copied``) is a copy of an earlier one. A line for each size, from a process
of its own: milliseconds of processor for a file and step, the most memory of the process, and how large a
report becomes; of a page the largest of its further pages too.
"""

from __future__ import annotations

import argparse
import random
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial
from itertools import islice
from pathlib import Path
from typing import Any

from tests.corpus.copies import CLEAN, ordered, written
from validators.batch import PileRun, check_together
from validators.ceilings import RunLimits
from validators.contents import Contents, Outcome
from validators.findings import SheetReport
from validators.pile import Piece, walk
from validators.reports.as_text import as_text
from validators.reports.write import pages_beside, write_report

SIZES = (1000, 10_000)
FAULTY, UNNUMBERED, COPIED = 5, 10, 1000
"""One file in so many."""

FAULTS = ("other-unit", "text", "blank", "formula", "piston", "digits", "stale", "outlier", "date", "mark")
PEOPLE = 250

GRAIN = 1e-3
REPORTS = (".html", ".json", ".csv", ".xlsx")


@dataclass(frozen=True)
class Base:
    """A file that was checked, and what came of it."""

    name: str
    dates: tuple[tuple[str, datetime], ...]
    report: SheetReport
    contents: Contents


def checked_once(folder: Path, engine: str) -> tuple[Base, ...]:
    """Return files of one engine: a sound one, then one with each fault."""
    orders = [one for kind in (CLEAN, *FAULTS) if (one := ordered(kind, 0, (engine,))) is not None]
    for number, data in enumerate(written(orders)):
        (folder / f"{number:02d}.xlsx").write_bytes(data)
    pieces = [piece for piece in walk([folder]) if isinstance(piece, Piece)]
    return tuple(
        Base(Path(piece.place).name, piece.dates, outcome.report, outcome.contents)
        for piece, outcome in zip(pieces, check_together(pieces), strict=True) if outcome.contents is not None
    )


def files(bases: Sequence[Base], count: int, every: int = COPIED) -> Iterator[tuple[Piece, Outcome]]:
    """Yield files of one template: numbered ones, some without a number, and every so many a copy."""
    chance = random.Random(count)
    sound, *faulty = bases
    at = next(n for n, entry in enumerate(sound.contents.entries) if entry == sound.report.job)
    for number in range(count):
        base = faulty[number // FAULTY % len(faulty)] if number % FAULTY == FAULTY - 1 else sound
        copied = number % every == every - 1
        entries = list(base.contents.entries if copied else _other(base.contents.entries, chance))
        own = "" if number % UNNUMBERED == 0 else f"J-{number - copied:06d}"
        entries[at] = own or None
        place = f"returned/{number:06d}/{base.name}"  # a record speaks of a file of this name
        dates = tuple((kind, when.replace(microsecond=number % 1_000_000)) for kind, when in base.dates)
        report = replace(
            base.report, file=place, job=own, digest=f"{number:064x}", measured_by=f"bench {number % PEOPLE}",
        )
        contents = replace(base.contents, entries=tuple(entries))
        yield Piece(place=place, dates=dates), Outcome(report, contents)


def _other(entries: tuple[Any, ...], chance: random.Random) -> Iterator[Any]:
    for entry in entries:
        yield entry + chance.randrange(9) * GRAIN if isinstance(entry, float) else entry


def measured(engine: str, count: int, every: int, reports: Sequence[str]) -> Iterator[str]:
    """Yield the figures of one size, each as soon as it is there."""
    def step(do: Callable[[], Any]) -> tuple[Any, float]:
        began = time.process_time()
        done = do()
        return done, time.process_time() - began

    def each(seconds: float) -> str:
        return f"{seconds / count * 1000:>10.3f}"

    yield f"{count:>8}"
    with tempfile.TemporaryDirectory() as folder:
        bases = checked_once(Path(folder), engine)
        run = PileRun(RunLimits())
        coming = files(bases, count, every)
        making = 0.0

        def put_away() -> None:
            nonlocal making
            while True:
                began = time.process_time()
                made = list(islice(coming, 100))
                making += time.process_time() - began
                if not made:
                    return
                for known, (_, came) in zip(run.pieces(iter([one for one, _ in made])), made, strict=True):
                    run.put(known, came)

        _, seconds = step(put_away)
        yield each(seconds - making)
        found, seconds = step(run.report)
        assert len(found.sheets) == count
        yield each(seconds) + f"{len(found.copies):>8}"
        text, seconds = step(lambda: as_text(found))
        yield each(seconds) + f"{len(text) / 1000:>10.0f}"
        for ending in reports:
            path = Path(folder) / f"report{ending}"
            _, seconds = step(partial(write_report, found, path))
            yield each(seconds) + f"{path.stat().st_size / 1000:>10.0f}"
            if ending == ".html":
                further = [one.stat().st_size for one in pages_beside(path).glob("*")]
                yield f"{max(further, default=0) / 1000:>8.0f}"
            path.unlink()
        yield f"{resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:>10.0f}"


def heads(reports: Sequence[str]) -> str:
    """Return what stands above the figures."""
    told = f"{'files':>8}{'put away':>10}{'compared':>10}{'copies':>8}{'text':>10}{'kB':>10}"
    for ending in reports:
        told += f"{ending:>10}{'kB':>10}" + (f"{'pages':>8}" if ending == ".html" else "")
    return told + f"{'MB':>10}"


def main() -> None:
    """Measure each size in a process of its own."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.benchmark_growth", description=__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--files", type=int, nargs="+", default=SIZES, help="sizes of the pile")
    parser.add_argument("--engine", default="twin", help="an engine of tests/corpus/engines.py")
    parser.add_argument("--copied", type=int, default=COPIED, help="one file in so many is a copy")
    parser.add_argument(
        "--reports", nargs="*", choices=REPORTS, default=REPORTS[:1], help="reports beside the text",
    )
    parser.add_argument("--one", type=int, help=argparse.SUPPRESS)
    given = parser.parse_args()
    if given.one:
        for figure in measured(given.engine, given.one, given.copied, given.reports):
            print(figure, end="", flush=True)
        print(flush=True)
        return
    print(heads(given.reports), flush=True)
    for count in given.files:
        call = [sys.executable, "-m", "tests.benchmark_growth", "--engine", given.engine]
        call += ["--copied", str(given.copied), "--reports", *given.reports]
        subprocess.run([*call, "--one", str(count)], check=True)


if __name__ == "__main__":
    main()
