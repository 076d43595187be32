"""Sheets per second, beside other programs on the same files: ``python -m tests.benchmark --sheets 10 100``.

Four ways through one pile of returned workbooks (a V8's, or another of ``--engine``), each with readings, job
number and birth record of its own:

- *check*: the whole command, start and report included; every output recomputed twice and compared;
- *bare read*: unzip and parse the XML of every part, and nothing else: the limit of what reads such files;
- *office*: LibreOffice without a window recalculates and saves the files, stored values taken out before;
- *naive*: the `formulas` library loads and calculates each file, one after the other.

Before that it times one `new` beside XlsxWriter writing the same cells, and `check` of one file whose
template has been seen before, each with its start.

The last two are timed on some of the files (``--office``, ``--naive``) and counted up to the others, which
the output says. Wall time moves with what else the machine does, processor time less so. Memory is that of
the largest process, and of all together as the system shares it out (PSS), looked at four times a second.

``--curve`` takes one pile of growing size, 10 to 10,000 files unless ``--sheets`` says others, and prints a
line for each size: whether the time for a sheet and the memory stay what they are.
"""

from __future__ import annotations

import argparse
import io
import json
import math
import os
import re
import shutil
import subprocess
import sys
import tempfile
import threading
import time
import zipfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from sheetgen.build import new_build
from sheetgen.plan import plan_workbook
from tests.benchmark_pile import write_in_parts, write_pile
from tests.fuzz.members import packed, unpacked

ENGINE = "v8"
ROOT = Path(__file__).parents[1]
PLAIN = ROOT / "tests" / "write_plainly.py"
STORED = re.compile(rb"(</f>)<v>[^<]*</v>")
SIZES, CURVE = (10, 30, 100), (10, 100, 1000, 10_000)
LOOKED_EACH = 0.25
ROOM = 1_300_000
"""Bytes of disk for a file: itself, its record while it is checked, its part of the report."""


@dataclass(frozen=True)
class Cost:
    """What one way took for so many files."""

    files: int
    wall: float
    processor: float
    megabytes: float
    """Of the largest process."""

    together: float = math.nan
    """Megabytes of all processes at one time."""

    @property
    def rate(self) -> float:
        """Files in a second."""
        return self.files / self.wall

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
    seen, over = [math.nan, math.nan], threading.Event()
    looking = threading.Thread(target=_look, args=(process.pid, seen, over))
    looking.start()
    _, status, used = os.wait4(process.pid, 0)
    wall = time.monotonic() - began
    over.set()
    looking.join()
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode not in (0, 1):
        raise SystemExit(f"{call[:4]} ended with {process.returncode}")
    return Cost(files, wall, used.ru_utime + used.ru_stime, *seen)


def _look(process: int, seen: list[float], over: threading.Event) -> None:
    """Note the most memory that a process or one below it took, and that all take at a time, until the end.

    What the system tells of a process that has ended will not do: it counts the one that started it.
    """
    while not over.wait(LOOKED_EACH):
        found = [megabytes_of(one) for one in with_children(process)]
        now = max(most for most, _ in found), sum(share for _, share in found)
        for at, megabytes in enumerate(now):
            if megabytes and not megabytes <= seen[at]:
                seen[at] = megabytes


def with_children(process: int) -> Iterator[int]:
    """Yield a process and all that it has started, where the system tells."""
    yield process
    try:
        told = [path.read_text() for path in Path(f"/proc/{process}/task").glob("*/children")]
    except OSError:
        return
    for child in " ".join(told).split():
        yield from with_children(int(child))


def megabytes_of(process: int) -> tuple[float, float]:
    """Return the most memory that a process has taken, and its share now; 0 where the system is silent."""
    found = []
    for name, what in (("status", "VmHWM:"), ("smaps_rollup", "Pss:")):
        try:
            told = Path(f"/proc/{process}/{name}").read_text()
        except OSError:
            told = ""
        found.append(sum(int(line.split()[1]) for line in told.splitlines() if line.startswith(what)) / 1024)
    return found[0], found[1]


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


HEADS = ("files", "wall s", "cpu s", "sheets/s", "ms/sheet", "cpu ms", "MB", "MB all")


def figures(cost: Cost) -> str:
    """Return the figures of one way, as wide as their heads."""
    told = (cost.wall, cost.processor, cost.rate, cost.each(cost.wall), cost.each(cost.processor))
    memory = (cost.megabytes, cost.together)
    return (f"{cost.files:>9}" + "".join(f"{figure:>10.1f}" for figure in told)
            + "".join(f"{figure:>8.0f}" for figure in memory))


def heads(first: str) -> str:
    """Return the heads of the figures."""
    return f"{first:<10}{HEADS[0]:>9}" + "".join(f"{head:>10}" for head in HEADS[1:6]) + "".join(
        f"{head:>8}" for head in HEADS[6:])


def lines(costs: dict[str, Cost]) -> Iterator[str]:
    """Yield a line for each way, and how it compares with the command."""
    ours = costs["check"]
    yield heads("way") + "  check is"
    for way, cost in costs.items():
        told = ""
        if way != "check":
            wall = cost.each(cost.wall) / ours.each(ours.wall)
            processor = cost.each(cost.processor) / ours.each(ours.processor)
            told = f"  {wall:.2f} times as fast by wall, {processor:.2f} by processor"
        yield f"{way:<10}{figures(cost)}{told}"
        if cost.files < ours.files:
            yield f"{'':<10}(timed on {cost.files}; {ours.files} would take {spoken(cost, ours.files)})"


def spoken(cost: Cost, files: int) -> str:
    """Return how long so many files would take by the clock, counted up from some.

    Examples
    --------
    >>> spoken(Cost(2, 9.0, 9.0, 0.0), 100), spoken(Cost(1, 235.0, 235.0, 0.0), 1000)
    ('8 minutes', '65.3 hours')
    """
    seconds = cost.each(cost.wall) * files / 1000
    if seconds < 120:
        return f"{seconds:.0f} seconds"
    return f"{seconds / 60:.0f} minutes" if seconds < 7200 else f"{seconds / 3600:.1f} hours"


def curve(files: Sequence[Path], sizes: Sequence[int], jobs: int) -> Iterator[str]:
    """Yield a line for each size of the pile, as soon as it is there."""
    yield heads("check of") + "  bare read, ms a sheet"
    for size in sizes:
        cost, least = checked(files[:size], jobs), bare(files[:size])
        yield f"{'':<10}{figures(cost)}  {least.each(least.wall):.1f}"


def room_for(folder: Path, sheets: int) -> None:
    """Say so before any work if the disk is too small."""
    for place in (folder, Path(tempfile.gettempdir())):
        free = shutil.disk_usage(place).free
        if free < sheets * ROOM:
            raise SystemExit(f"{place}: {sheets * ROOM / 1e9:.1f} GB are needed, {free / 1e9:.1f} are free")


def main() -> None:
    """Write the piles, time the ways and print the table."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.benchmark", description=__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--sheets", type=int, nargs="+", help="sizes of the pile")
    parser.add_argument("--curve", action="store_true", help="one line for each size, 10 to 10,000")
    parser.add_argument("--distinct", type=int, default=0, help="readings repeat after so many; 0: never")
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
    elif given.naively:
        calculate_naively(given.naively)
    elif given.write:
        write_pile(given.folder, given.engine, range(*given.write), given.distinct)
    else:
        with tempfile.TemporaryDirectory() as other:
            run(given, given.folder or Path(other), sorted(given.sheets or (CURVE if given.curve else SIZES)))


def run(given: argparse.Namespace, folder: Path, sizes: Sequence[int]) -> None:
    """Time every way, and say what came of it."""
    folder.mkdir(parents=True, exist_ok=True)
    if len(list(folder.glob("*.xlsx"))) < sizes[-1]:
        room_for(folder, sizes[-1])
        began = time.monotonic()
        write_in_parts(folder, given.engine, sizes[-1], given.distinct, given.jobs)
        print(f"{sizes[-1]} files of {given.engine} written in {time.monotonic() - began:.0f} s", flush=True)
    files = sorted(folder.glob("*.xlsx"))
    for _ in range(2):  # what is compiled and laid out is kept from the first time on
        checked(files[:1], 1)
        written = writing()
    for way, cost in {**written, "check of one": checked(files[:1], 1)}.items():
        print(f"{way:<14}{cost.wall:6.2f} s wall, {cost.processor:.2f} s cpu, {cost.megabytes:.0f} MB")
    others: dict[str, Callable[[], Cost | None]] = {}
    if given.office:
        others["office"] = lambda: office(files[:min(given.office, sizes[-1])])
    if given.naive:
        others["naive"] = lambda: naive(files[:min(given.naive, sizes[-1])])
    found = {way: taken for way, way_run in others.items() if (taken := way_run()) is not None}
    if given.curve:
        print(f"\n{given.jobs} workers")
        for line in curve(files, sizes, given.jobs):
            print(line, flush=True)
        for way, cost in found.items():
            told = ", ".join(f"{size} {spoken(cost, size)}" for size in sizes)
            print(f"{way:<10}{figures(cost)}  counted up from {cost.files}: {told}")
        return
    for size in sizes:
        costs = {"check": checked(files[:size], given.jobs), "bare read": bare(files[:size]), **found}
        print(f"\n{size} sheets, {given.jobs} workers\n" + "\n".join(lines(costs)), flush=True)


if __name__ == "__main__":
    main()
