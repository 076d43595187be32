"""Try every single fault of every formula and of the core, and hold the list of survivors to it.

``python -m tests.drift.all_mutants --jobs 2`` prints what survives and is not in `survivors.toml`,
what stands there and shows, and the shares; about a quarter of an hour on two cores. What no build
shows of the core is tried on the tests in tests/external as well.
"""

from __future__ import annotations

import argparse
import json
import sys
import tomllib
from collections.abc import Collection, Iterator, Mapping
from functools import cache
from pathlib import Path

from tests.external.core_faults import seen_outside
from validators.core_mutants import CoreFault
from validators.mutants import Outcome, Tally, all_core_faults, formula_faults, mutate_core, mutate_formulas

LIST = Path(__file__).parent / "survivors.toml"
PARTS = ("formula", "core")
OUTSIDE = "outside"
"""The part of the list that no build shows and a test in tests/external sees."""


def named(fault: Outcome | CoreFault) -> str:
    """Return how the list names a fault."""
    return f"{fault.where}  {fault.change}"


@cache
def every_fault(part: str) -> dict[int, str]:
    """Return number and name of every fault of a part."""
    if part == "core":
        return {number: named(fault) for number, fault in enumerate(all_core_faults())}
    return {n: f"{where}  {fault.change}" for n, (where, fault) in enumerate(formula_faults())}


def reasons(part: str) -> dict[str, str]:
    """Return every listed survivor of a part with the reason why it changes nothing."""
    found: dict[str, str] = {}
    for group in tomllib.loads(LIST.read_text(encoding="utf-8"))[part]:
        assert len(group["reason"].split()) >= 5, group
        for fault in group["faults"]:
            assert fault not in found, f"listed twice: {fault}"
            found[fault] = group["reason"]
    return found


def seen_by() -> dict[str, str]:
    """Return every fault that only a test in tests/external sees, with the file of the test."""
    groups = tomllib.loads(LIST.read_text(encoding="utf-8"))[OUTSIDE]
    return {fault: group["file"] for group in groups for fault in group["faults"]}


def numbered(names: Collection[str]) -> list[CoreFault]:
    """Return the faults of the core with these names."""
    return [fault for fault in all_core_faults() if named(fault) in names]


def outside_differences(seen: Mapping[str, str]) -> Iterator[str]:
    """Yield where the list is not what tests in tests/external see of the survivors of the core."""
    listed = seen_by()
    for name in sorted(set(seen) - set(listed)):
        yield f"not listed, but {seen[name]} sees it  {name}"
    for name in sorted(set(listed) - set(seen)):
        yield f"listed, but no outside check sees it  {name}"


def differences(part: str, tally: Tally) -> Iterator[str]:
    """Yield what the list has too little, and too much."""
    survivors, listed = {named(outcome): outcome for outcome in tally.survivors}, set(reasons(part))
    if part == "core":
        listed |= set(reasons(OUTSIDE))
    every = set(every_fault(part).values())
    for name in sorted(set(survivors) - listed):
        yield f"not listed  {name}\n    {survivors[name].original}\n    {survivors[name].mutant}"
    for name in sorted(listed - set(survivors)):
        yield f"{'listed, but it shows' if name in every else 'listed, but there is no such fault'}  {name}"


def main() -> int:
    """Try all faults; exit status 1 when the list is not what survives."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--part", choices=PARTS, action="append")
    parser.add_argument("--sheet", help="only formulas whose place, or functions whose module, starts so")
    parser.add_argument("--json", type=Path, help="write every outcome as well")
    asked = parser.parse_args()
    status, outcomes = 0, []
    for part in asked.part or PARTS:
        numbers = [n for n, name in every_fault(part).items() if name.startswith(asked.sheet or "")]
        tally = (mutate_formulas if part == "formula" else mutate_core)(numbers, asked.jobs)
        told = [line for line in differences(part, tally) if not asked.sheet or asked.sheet in line]
        print(f"{part}: {tally.killed} of {tally.total} show ({tally.share:.2%})", flush=True)
        if part == "core":
            survivors = numbered({named(outcome) for outcome in tally.survivors})
            found = seen_outside(survivors)
            seen = {f"{where}  {change}": test for (where, change), test in found.items()}
            share = (tally.killed + len(seen)) / tally.total
            print(f"core: {len(seen)} more are seen by outside checks ({share:.2%})", flush=True)
            told += [line for line in outside_differences(seen) if not asked.sheet or asked.sheet in line]
        print(*told, sep="\n", flush=True)
        status |= bool(told)
        outcomes += [[part, o.where, o.change, o.original, o.mutant, o.shows] for o in tally.outcomes]
    if asked.json:
        asked.json.write_text(json.dumps(outcomes), encoding="utf-8")
    return status


if __name__ == "__main__":
    sys.exit(main())
