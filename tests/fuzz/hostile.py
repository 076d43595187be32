"""What every hostile kind costs: ``python -m tests.fuzz.hostile`` prints the table of `LIMITS.md`."""

from __future__ import annotations

import resource
import tempfile
import time
from multiprocessing import get_context
from pathlib import Path
from typing import Any

from tests.fuzz.hostile_kinds import KINDS
from validators.batch import check_files
from validators.ceilings import Ceilings
from validators.workers import hold_memory

HEADS = ("kind", "packed MB", "finding", "seconds", "more MB")


def cost(path: Path) -> tuple[list[str], float, float]:
    """Return the codes found in a file, and the seconds and megabytes that it cost in a process."""
    ours, theirs = get_context("fork").Pipe()
    process = get_context("fork").Process(target=_measure, args=(path, theirs))
    process.start()
    theirs.close()
    codes, seconds, memory = ours.recv()
    process.join()
    return codes, seconds, memory


def _measure(path: Path, pipe: Any) -> None:
    hold_memory(Ceilings().memory_bytes)
    before = _resident()
    began = time.process_time()
    report = check_files([path])
    seconds = time.process_time() - began
    found = [finding.code for sheet in report.sheets for finding in sheet.findings]
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    pipe.send((list(dict.fromkeys(found)), seconds, max(0.0, peak - before)))


def _resident() -> float:
    return int(Path("/proc/self/statm").read_text().split()[1]) * resource.getpagesize() / 1e6


def main() -> None:
    """Print the table."""
    print("| " + " | ".join(HEADS) + " |\n|---|---|---|---|---|")
    with tempfile.TemporaryDirectory() as folder:
        for kind in KINDS:
            path = Path(folder) / kind.name
            path.write_bytes(kind.make())
            size = path.stat().st_size / 1e6
            codes, seconds, memory = cost(path)
            told = " ".join(codes) or "none: read as if it were not there"
            print(f"| {kind.kind} | {size:.2f} | {told} | {seconds:.2f} | {memory:.0f} |", flush=True)


if __name__ == "__main__":
    main()
