"""Spoils workbooks and checks them: ``python -m tests.fuzz --files 100000``; one again: ``--seed N``."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from tests.fuzz.run import LEVELS, level_of, run, spoilt, told_of
from validators.batch import check_files
from validators.reports.as_text import as_text


def main() -> int:
    """Run, and return 1 when anything came that may never come."""
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    parser.add_argument("--files", type=int, default=1000, help="how many")
    parser.add_argument("--first", type=int, default=0, help="first seed")
    parser.add_argument("--jobs", type=int, default=1, help="worker processes")
    parser.add_argument("--no-reports", action="store_true", help="do not make and search reports as well")
    parser.add_argument("--seed", type=int, help="make only this one")
    parser.add_argument("--level", choices=LEVELS, default="", help="with --seed: at another level")
    parser.add_argument("--out", type=Path, help="with --seed: where to")
    given = parser.parse_args()
    if given.seed is not None:
        path = given.out or Path(f"{given.level or level_of(given.seed)}-{given.seed}.xlsx")
        path.write_bytes(spoilt(given.seed, given.level))
        print(path)
        print(as_text(check_files([path], jobs=1)))
        return 0
    tally = run(given.first, given.files, jobs=given.jobs, reports=not given.no_reports, told=30.0)
    print(told_of(tally, given.first))
    return 1 if tally.faults else 0


if __name__ == "__main__":
    sys.exit(main())
