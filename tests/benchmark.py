"""Sheets per second, beside other programs on the same files: ``python -m tests.benchmark --sheets 10 100``.

Four ways through one pile of returned workbooks (a V8's, or another of ``--engine``), each under a job number
and birth record of its own:

- *check*: the whole command, start and report included; every output recomputed twice and compared;
- *bare read*: unzip and parse the XML of every part, and nothing else: the limit of what reads such files;
- *office*: LibreOffice without a window recalculates and saves the files, stored values taken out before;
- *naive*: the `formulas` library loads and calculates each file, one after the other.

Before that it times one `new` beside XlsxWriter writing the same cells, and `check` of one file whose
template has been seen before, each with its start.

The last two are timed on some of the files and counted up, which the output says. Wall time moves with what
else the machine does, processor time less so. Readings repeat after ``--distinct`` sheets, job numbers never.
"""

from __future__ import annotations

import argparse
import io
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path

from sheetgen.build import new_build
from sheetgen.plan import plan_workbook
from tests.fuzz.members import packed, unpacked

ENGINE = "v8"
ROOT = Path(__file__).parents[1]
PLAIN = ROOT / "tests" / "write_plainly.py"
TEXTS = "xl/sharedStrings.xml"
STORED = re.compile(rb"(</f>)<v>[^<]*</v>")


def write_pile(folder: Path, name: str, numbers: range, distinct: int) -> None:
    """Write filled workbooks of one engine, each with a job number and a birth record of its own."""
    from tests.corpus.copies import CLEAN, ordered, written
    from tests.corpus.engines import corpus_engine

    engine = corpus_engine(name)
    old_job = str(engine.build.entries["job_number", ()])
    old_digest = engine.plan.digest
    seeds = range(min(distinct, numbers.stop))
    orders = [made for seed in seeds if (made := ordered(CLEAN, seed, (name,)))]
    filled = [unpacked(data) for at in range(0, len(orders), 25) for data in written(orders[at:at + 25])]
    for number in numbers:
        job = f"B-{number:05d}"
        build = replace(engine.build, entries={**engine.build.entries, ("job_number", ()): job})
        parts = dict(filled[number % len(filled)])
        digest = plan_workbook(build).digest.encode()
        for part in parts:
            if part == TEXTS or part.startswith("xl/worksheets/"):
                parts[part] = parts[part].replace(old_job.encode(), job.encode()).replace(
                    old_digest.encode(), digest
                )
        (folder / f"{job}.xlsx").write_bytes(packed(parts))


def write_in_parts(folder: Path, name: str, sheets: int, distinct: int, jobs: int) -> None:
    """Have the pile written by other processes: what they take up is not to be counted as the command's."""
    bounds = [sheets * part // jobs for part in range(jobs + 1)]
    call = [sys.executable, "-m", "tests.benchmark", "--folder", str(folder), "--engine", name]
    writers = [
        subprocess.Popen([*call, "--distinct", str(distinct), "--write", str(first), str(end)], cwd=ROOT)
        for first, end in pairwise(bounds)
    ]
    if any(writer.wait() for writer in writers):
        raise SystemExit("the pile could not be written")


@dataclass(frozen=True)
class Cost:
    """What one way took for so many files."""

    files: int
    wall: float
    processor: float
    megabytes: float

    def each(self, seconds: float) -> float:
        """Return milliseconds for each file."""
        return seconds / self.files * 1000


def as_installed() -> dict[str, str]:
    """Return an environment in which modules are compiled once, as an installed program's are."""
    return {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}


def timed(call: Sequence[str], files: int) -> Cost:
    """Run a program and return what it took, its children included."""
    began = time.monotonic()
    process = subprocess.Popen(
        call, cwd=ROOT, env=as_installed(), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    _, status, used = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode not in (0, 1):
        raise SystemExit(f"{call[:4]} ended with {process.returncode}")
    return Cost(files, time.monotonic() - began, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024)


def checked(files: Sequence[Path], jobs: int) -> Cost:
    """Time the command over the files, with a report."""
    with tempfile.TemporaryDirectory() as folder:
        report = Path(folder) / "report.json"
        call = [sys.executable, "-m", "validators.cli", "check", *map(str, files), "--jobs", str(jobs)]
        cost = timed([*call, "--quiet", "--report", str(report)], len(files))
        assert report.stat().st_size > 1000
        return cost


def bare(files: Sequence[Path]) -> Cost:
    """Time unzipping and parsing every part of the files."""
    return timed([sys.executable, "-m", "tests.benchmark", "--bare", *map(str, files)], len(files))


def read_bare(files: Sequence[str]) -> None:
    """Unzip and parse every part of the files."""
    from lxml import etree

    for path in files:
        with zipfile.ZipFile(io.BytesIO(Path(path).read_bytes())) as archive:
            for name in archive.namelist():
                data = archive.read(name)
                if name.endswith((".xml", ".rels")):
                    etree.fromstring(data)


def office(files: Sequence[Path]) -> Cost | None:
    """Time LibreOffice recalculating and saving the files; None where it is not installed."""
    program = shutil.which("soffice")
    if program is None:
        return None
    with tempfile.TemporaryDirectory() as folder:
        source = Path(folder) / "in"
        source.mkdir()
        for path in files:
            parts = {name: STORED.sub(rb"\1", data) if name.startswith("xl/worksheets/") else data
                     for name, data in unpacked(path.read_bytes()).items()}
            (source / path.name).write_bytes(packed(parts))
        call = [program, "--headless", f"-env:UserInstallation=file://{folder}/user", "--convert-to", "xlsx",
                "--outdir", f"{folder}/out", *map(str, sorted(source.iterdir()))]
        cost = timed(call, len(files))
        assert len(list((Path(folder) / "out").iterdir())) == len(files)
        return cost


def naive(files: Sequence[Path]) -> Cost:
    """Time the library loading and calculating each file."""
    return timed([sys.executable, "-m", "tests.benchmark", "--naively", *map(str, files)], len(files))


def calculate_naively(files: Sequence[str]) -> None:
    """Load and calculate each file with the library's own model of a workbook."""
    os.environ["TQDM_DISABLE"] = "1"
    import formulas

    for path in files:
        formulas.ExcelModel().loads(path).finish(complete=False).calculate()


def writing() -> dict[str, Cost]:
    """Time one `new`, and XlsxWriter writing the same cells and names without any look."""
    found = {}
    with tempfile.TemporaryDirectory() as folder:
        call = [sys.executable, "-m", "validators.cli", "new", f"{folder}/new.xlsx", "--layout", "v8"]
        found["new"] = timed(call, 1)
        cells = Path(folder) / "cells.json"
        plan = plan_workbook(new_build("v8", "millimetre"))
        told = [(cell.sheet, cell.row - 1, cell.column - 1, cell.formula, cell.value) for cell in plan.cells]
        cells.write_text(json.dumps([told, list(plan.names.items())]), "utf-8")
        found["XlsxWriter"] = timed([sys.executable, str(PLAIN), str(cells), f"{folder}/plain.xlsx"], 1)
        assert all((Path(folder) / name).stat().st_size > 100_000 for name in ("new.xlsx", "plain.xlsx"))
    return found


def lines(costs: dict[str, Cost]) -> Iterator[str]:
    """Yield a line for each way, and how it compares with the command."""
    ours = costs["check"]
    heads = ("files", "wall s", "cpu s", "ms/sheet", "cpu ms", "MB")
    yield f"{'way':<10}" + "".join(f"{head:>9}" for head in heads) + "  check is"
    for way, cost in costs.items():
        wall, cpu = cost.each(cost.wall) / ours.each(ours.wall), cost.each(cost.processor) / ours.each(
            ours.processor
        )
        ratio = "" if way == "check" else f"{wall:.2f} times as fast by wall, {cpu:.2f} by processor"
        figures = (cost.wall, cost.processor, cost.each(cost.wall), cost.each(cost.processor))
        told = "".join(f"{figure:>9.1f}" for figure in figures)
        yield f"{way:<10}{cost.files:>9}{told}{cost.megabytes:>9.0f}  {ratio}"


def main() -> None:
    """Write the piles, time the ways and print the table."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmark", description=__doc__)
    parser.add_argument("--sheets", type=int, nargs="*", default=[10, 30, 100], help="sizes of the pile")
    parser.add_argument("--distinct", type=int, default=25, help="different sets of readings")
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1, help="worker processes")
    parser.add_argument("--office", type=int, default=5, help="files for LibreOffice; 0 leaves it out")
    parser.add_argument("--naive", type=int, default=1, help="files for naive calculation; 0 leaves it out")
    parser.add_argument("--folder", type=Path, help="keep the pile here, or take the one that is here")
    parser.add_argument("--engine", default=ENGINE, help="an engine of tests/corpus/engines.py")
    parser.add_argument("--write", type=int, nargs=2, help=argparse.SUPPRESS)
    parser.add_argument("--bare", nargs="+", help=argparse.SUPPRESS)
    parser.add_argument("--naively", nargs="+", help=argparse.SUPPRESS)
    given = parser.parse_args()
    if given.bare:
        read_bare(given.bare)
        return
    if given.naively:
        calculate_naively(given.naively)
        return
    if given.write:
        write_pile(given.folder, given.engine, range(*given.write), given.distinct)
        return
    with tempfile.TemporaryDirectory() as other:
        folder = given.folder or Path(other)
        folder.mkdir(parents=True, exist_ok=True)
        if len(list(folder.glob("*.xlsx"))) < max(given.sheets):
            write_in_parts(folder, given.engine, max(given.sheets), given.distinct, given.jobs)
        files = sorted(folder.glob("*.xlsx"))
        for _ in range(2):  # what is compiled and laid out is kept from the first time on
            checked(files[:1], 1)
            written = writing()
        for way, cost in {**written, "check of one": checked(files[:1], 1)}.items():
            print(f"{way:<14}{cost.wall:6.2f} s wall, {cost.processor:.2f} s cpu, {cost.megabytes:.0f} MB")
        others: dict[str, Callable[[], Cost | None]] = {}
        if given.office:
            others["office"] = lambda: office(files[:given.office])
        if given.naive:
            others["naive"] = lambda: naive(files[:given.naive])
        found = {way: cost for way, run in others.items() if (cost := run()) is not None}
        for size in given.sheets:
            costs = {"check": checked(files[:size], given.jobs), "bare read": bare(files[:size]), **found}
            print(f"\n{size} sheets, {given.jobs} workers; office and naive on the first files only, "
                  f"counted up to a sheet\n" + "\n".join(lines(costs)), flush=True)


if __name__ == "__main__":
    main()
