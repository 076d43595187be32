"""What grows with the number of files: ``python -m tests.benchmark_growth --files 1000 10000 100000``.

To check a file takes as long in a large pile as in a small one. What does not has to do with all of them: the
record that is kept of each, which are copies of one job, the overview, the report and its pages. Here one
file is checked; what came of it is put away time and again under another name and job number and with other
readings, and told as the run over a pile does. So piles can be tried that would take hours to check.

Every tenth file comes without a job number, so that only what was typed tells whose copy it is; one in a
thousand is a copy of an earlier one. A line for each size, from a process of its own: milliseconds of
processor for a file and step, the most memory of the process, and how large a report becomes.
"""

from __future__ import annotations

import argparse
import random
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import islice
from pathlib import Path
from typing import Any

from tests.benchmark_pile import write_pile
from validators.batch import PileRun, check_together
from validators.ceilings import RunLimits
from validators.contents import Outcome
from validators.pile import Piece, walk
from validators.reports.as_text import as_text
from validators.reports.write import write_report

SIZES = (1000, 10_000)
UNNUMBERED, COPIED = 10, 1000
"""One file in so many."""

GRAIN = 1e-3
STEPS = ("put away", "compared", "told", "page")


def checked_once(folder: Path, engine: str) -> tuple[Piece, Outcome]:
    """Return one file of the benchmark's pile and what came of it."""
    write_pile(folder, engine, range(1))
    (piece,) = walk([folder])
    assert isinstance(piece, Piece)
    (outcome,) = check_together([piece])
    assert outcome.contents is not None
    return piece, outcome


def files(piece: Piece, outcome: Outcome, count: int) -> Iterator[tuple[Piece, Outcome]]:
    """Yield files of one template: numbered ones, some without a number, some copies of earlier ones."""
    chance = random.Random(count)
    assert outcome.contents is not None
    job, name = outcome.report.job, Path(piece.place).name
    at = next(n for n, entry in enumerate(outcome.contents.entries) if entry == job)
    for number in range(count):
        copied = number % COPIED == COPIED - 1
        entries = list(outcome.contents.entries if copied else _other(outcome.contents.entries, chance))
        own = "" if number % UNNUMBERED == 0 else f"J-{number - copied:06d}"
        entries[at] = own or None
        place = f"returned/{number:06d}/{name}"  # a record speaks of a file of this name
        dates = tuple((kind, when.replace(microsecond=number % 1_000_000)) for kind, when in piece.dates)
        report = replace(outcome.report, file=place, job=own, digest=f"{number:064x}")
        contents = replace(outcome.contents, entries=tuple(entries))
        yield Piece(place=place, dates=dates), replace(outcome, report=report, contents=contents)


def _other(entries: tuple[Any, ...], chance: random.Random) -> Iterator[Any]:
    for entry in entries:
        yield entry + chance.randrange(9) * GRAIN if isinstance(entry, float) else entry


def measured(engine: str, count: int) -> Iterator[str]:
    """Yield the figures of one size, each as soon as it is there."""
    def step(do: Callable[[], Any]) -> tuple[Any, float]:
        began = time.process_time()
        done = do()
        return done, time.process_time() - began

    def each(seconds: float) -> str:
        return f"{seconds / count * 1000:>10.3f}"

    yield f"{count:>8}"
    with tempfile.TemporaryDirectory() as folder:
        piece, outcome = checked_once(Path(folder), engine)
        run = PileRun(RunLimits())
        coming = files(piece, outcome, count)
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
        yield each(seconds)
        text, seconds = step(lambda: as_text(found))
        yield each(seconds)
        page = Path(folder) / "report.html"
        _, seconds = step(lambda: write_report(found, page))
        yield each(seconds)
        pages = page.with_name("report-pages")
        most = max((one.stat().st_size for one in pages.iterdir()), default=0) if pages.exists() else 0
        memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        yield f"{memory:>10.0f}{len(found.copies):>8}"
        yield f"{len(text) / 1000:>10.0f}{page.stat().st_size / 1000:>10.0f}{most / 1000:>16.0f}"


def main() -> None:
    """Measure each size in a process of its own."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.benchmark_growth", description=__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--files", type=int, nargs="+", default=SIZES, help="sizes of the pile")
    parser.add_argument("--engine", default="twin", help="an engine of tests/corpus/engines.py")
    parser.add_argument("--one", type=int, help=argparse.SUPPRESS)
    given = parser.parse_args()
    if given.one:
        for figure in measured(given.engine, given.one):
            print(figure, end="", flush=True)
        print(flush=True)
        return
    print(f"{'files':>8}" + "".join(f"{name:>10}" for name in STEPS)
          + f"{'MB':>10}{'copies':>8}{'text kB':>10}{'page kB':>10}{'largest of many':>16}", flush=True)
    for count in given.files:
        call = [sys.executable, "-m", "tests.benchmark_growth", "--engine", given.engine]
        subprocess.run([*call, "--one", str(count)], check=True)


if __name__ == "__main__":
    main()
