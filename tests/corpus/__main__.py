"""Measure how well `check` finds faults: ``python -m tests.corpus``, and write the table into the manual."""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path

from tests.corpus.copies import CLEAN
from tests.corpus.damage import NO_FAULT
from tests.corpus.detection import ALARM, VERDICT, Outcome, alarms, measure, rows, short_of_the_goal
from tests.corpus.engines import ENGINES

TABLE = Path(__file__).parents[2] / "validators" / "checks" / "DETECTION.md"

BROKEN_OFF = ", a run that was broken off: every line has fewer copies than were asked for"
SAVED = "## The same after an office program recalculated and saved each copy"


def page(found: list[Outcome], called: str) -> str:
    """Return the table as a page of the manual."""
    harmless = ", ".join(kind.title for kind in NO_FAULT.values())
    lines = [
        "# How much of what goes wrong is found", "",
        f"Written by `{called}`{BROKEN_OFF if '--only-kept' in called else ''}.", "",
        "Every copy is a workbook of an invented engine, filled with readings that",
        "scatter as those of a well made engine do, with one known fault; kind and seed give the same copy",
        "again. Fasteners, masses, top end and signatures are filled in only some copies and engines: a",
        "fault there has fewer copies. The same few sets of readings serve every kind.", "",
        "*Found*: the right code at the right cell, whatever its severity: an odd reading, for one, is told",
        "for information. *Found otherwise*: the sheet asks for action, by another code or at another cell.",
        "*Missed*: nothing asks for action. Where a kind has a size, it is the one above which it can be",
        "decided; smaller faults lie within the natural spread of good parts, or within what the gauge can",
        "tell.", "",
        "| fault | copies | found | otherwise | missed | share found |", "|---|---|---|---|---|---|",
    ]
    for row in rows(found):
        title = row.title + ("" if row.decidable else " (cannot be decided)")
        lines.append(
            f"| {title} | {row.copies} | {row.found} | {row.otherwise} | {row.missed} | {row.share:.1%} |"
        )
    lines += [
        "",
        "A copy without a fault asks for action falsely where a finding speaks of the sheet. A verdict about",
        "the engine is no false alarm: the readings were drawn near a limit.", "",
        "| without a fault | copies | ask for action | by a verdict only | falsely | share falsely |",
        "|---|---|---|---|---|---|",
        _quiet_row("clean copies", found, CLEAN),
        _quiet_row(f"changed without harm: {harmless}", found, *NO_FAULT), "",
    ]
    return "\n".join(lines)


def _quiet_row(title: str, found: list[Outcome], *kinds: str) -> str:
    loud, count = alarms(found, *kinds)
    judged, _ = alarms(found, *kinds, result=VERDICT)
    share = loud / max(count, 1)
    return f"| {title} | {count} | {loud + judged} | {judged} | {loud} | {share:.1%} |"


def write(text: str, *, office: bool) -> None:
    """Write a table into the manual, beside the other one."""
    held = TABLE.read_text("utf-8") if TABLE.exists() else ""
    own, _, saved = held.partition(SAVED)
    if office:
        saved = "\n\n" + text.partition("\n\n")[2]
    else:
        own = text + "\n"
    TABLE.write_text(f"{own.rstrip()}\n\n{SAVED}{saved.rstrip()}\n" if saved else own, encoding="utf-8")


def main() -> int:
    """Run the corpus; 1 when the goal is missed."""
    parser = argparse.ArgumentParser(prog="python -m tests.corpus", description=__doc__)
    parser.add_argument("--clean", type=int, default=1000, help="clean copies")
    parser.add_argument("--each", type=int, default=50, help="copies of each kind of fault")
    parser.add_argument("--pairs", type=int, default=120, help="copies with two faults")
    parser.add_argument("--jobs", type=int, default=1, help="processes")
    parser.add_argument("--engine", action="append", choices=list(ENGINES), help="only this one (repeatable)")
    parser.add_argument("--write", action="store_true", help=f"write {TABLE.name}")
    parser.add_argument(
        "--office", action="store_true", help="have each copy opened and saved by the office program first"
    )
    parser.add_argument(
        "--keep", type=Path, help="folder to leave results in, and to go on from when a run was broken off"
    )
    parser.add_argument(
        "--only-kept", action="store_true", help="of a run that was broken off, tell what it has found so far"
    )
    parser.add_argument("--list", action="store_true", help="list each copy that was not found, or is loud")
    given = parser.parse_args()
    start = time.monotonic()

    def told(done: int, of: int) -> None:
        print(f"\r{done} of {of} parts, {time.monotonic() - start:.0f} s", end="", file=sys.stderr)

    found = measure(
        given.clean, given.each, given.pairs, tuple(given.engine or ENGINES), given.jobs, told,
        office=given.office, keep=given.keep, only_kept=given.only_kept,
    )
    print(file=sys.stderr)
    if given.only_kept and not given.keep:
        parser.error("--only-kept needs --keep")
    counts = f"--clean {given.clean} --each {given.each} --pairs {given.pairs}"
    if given.engine:
        counts += "".join(f' --engine "{name}"' for name in given.engine)
    broken_off = " --keep FOLDER --only-kept" if given.only_kept else ""
    called = f"python -m tests.corpus {counts}{' --office' if given.office else ''}{broken_off} --write"
    text = page(found, called)
    print(text)
    if given.write:
        write(text, office=given.office)
    if given.list:
        for one in found:
            if one.result in (ALARM, VERDICT) or (one.decidable and one.result not in ("found", "quiet")):
                print(f"{one.kind} {one.seed} {one.size}: {one.result}: {one.told}")
    short = short_of_the_goal(found)
    for line in short:
        print(f"short of the goal: {line}")
    return 1 if short else 0


if __name__ == "__main__":
    sys.exit(main())
