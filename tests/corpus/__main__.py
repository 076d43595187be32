"""Measure how well `check` finds faults: ``python -m tests.corpus``, and write the table into the manual."""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path

from tests.corpus.after_issue import AFTER_ISSUE, UNCHANGED, measure_after_issue
from tests.corpus.copies import CLEAN
from tests.corpus.damage import NO_FAULT
from tests.corpus.detection import ALARM, VERDICT, Outcome, Row, alarms, measure, rows, short_of_the_goal
from tests.corpus.engines import ENGINES

TABLE = Path(__file__).parents[2] / "validators" / "checks" / "DETECTION.md"

BROKEN_OFF = ", a run that was broken off: every line has fewer copies than were asked for"
SAVED = "## The same after an office program recalculated and saved each copy"
BESIDE = "## Beside what was issued"
HEAD = ["| fault | copies | found | otherwise | missed | share found |", "|---|---|---|---|---|---|"]
QUIET_HEAD = [
    "| without a fault | copies | ask for action | by a verdict only | falsely | share falsely |",
    "|---|---|---|---|---|---|",
]
TITLES_BESIDE = {kind: title for kind, (title, _) in AFTER_ISSUE.items()}


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
        *HEAD, *map(_row, rows(found)),
        "",
        "A copy without a fault asks for action falsely where a finding speaks of the sheet. A verdict about",
        "the engine is no false alarm: the readings were drawn near a limit.", "",
        *QUIET_HEAD,
        _quiet_row("clean copies", found, CLEAN),
        _quiet_row(f"changed without harm: {harmless}", found, *NO_FAULT), "",
    ]
    return "\n".join(lines)


def page_beside(found: list[Outcome], called: str) -> str:
    """Return the table of what shows only beside the file that was sent, or by the shop's key."""
    lines = [
        BESIDE, "",
        f"Written by `{called}`. Whoever writes a whole workbook anew, with a birth record that",
        "fits it, leaves nothing to find in the file itself; these copies are checked with `--issued`, or",
        "with the shop's key.", "",
        *HEAD, *map(_row, rows(found, TITLES_BESIDE)), "",
        *QUIET_HEAD, _quiet_row("sealed, sent, filled", found, UNCHANGED), "",
    ]
    return "\n".join(lines)


def _row(row: Row) -> str:
    title = row.title + ("" if row.decidable else " (cannot be decided)")
    return f"| {title} | {row.copies} | {row.found} | {row.otherwise} | {row.missed} | {row.share:.1%} |"


def _quiet_row(title: str, found: list[Outcome], *kinds: str) -> str:
    loud, count = alarms(found, *kinds)
    judged, _ = alarms(found, *kinds, result=VERDICT)
    share = loud / max(count, 1)
    return f"| {title} | {count} | {loud + judged} | {judged} | {loud} | {share:.1%} |"


def write(text: str, heading: str = "") -> None:
    """Write a table into the manual in the place of the one with that heading; the first has none."""
    held = TABLE.read_text("utf-8") if TABLE.exists() else ""
    parts = {"": held}
    for title in (BESIDE, SAVED):
        for known in [*parts]:
            before, found, after = parts[known].partition(title)
            if found:
                parts[known], parts[title] = before, title + after
    parts[heading] = text
    order = [parts[title].strip() for title in ("", BESIDE, SAVED) if title in parts]
    TABLE.write_text("\n\n".join(order) + "\n", encoding="utf-8")


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
    parser.add_argument(
        "--issued", type=int, help="only the kinds that show beside what was issued: so many copies of each"
    )
    given = parser.parse_args()
    if given.issued:
        found = measure_after_issue(given.issued, given.issued)
        text = page_beside(found, f"python -m tests.corpus --issued {given.issued} --write")
        return _told_and_written(text, short_of_the_goal(found, TITLES_BESIDE), BESIDE, given.write)
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
    if given.office:
        text = f"{SAVED}\n\n{text.partition(chr(10) * 2)[2]}"
    if given.list:
        for one in found:
            if one.result in (ALARM, VERDICT) or (one.decidable and one.result not in ("found", "quiet")):
                print(f"{one.kind} {one.seed} {one.size}: {one.result}: {one.told}")
    return _told_and_written(text, short_of_the_goal(found), SAVED if given.office else "", given.write)


def _told_and_written(text: str, short: list[str], heading: str, to_file: bool) -> int:
    print(text)
    if to_file:
        write(text, heading)
    for line in short:
        print(f"short of the goal: {line}")
    return 1 if short else 0


if __name__ == "__main__":
    sys.exit(main())
