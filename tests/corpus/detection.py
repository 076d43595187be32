"""How much of the corpus `check` finds, and how often it speaks of a copy without a fault."""

from __future__ import annotations

import json
import shutil
import subprocess
import tempfile
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict, dataclass
from functools import partial
from hashlib import sha256
from pathlib import Path

from tests.corpus.copies import ALIKE, CLEAN, FAULTY, PAIR, Ordered, batches, ordered, written
from tests.corpus.damage import NO_FAULT
from tests.corpus.engines import ENGINES
from tests.corpus.fault import Fault
from validators.findings import Finding, Severity, SheetReport
from validators.sheet import check_workbooks

FOUND, OTHERWISE, MISSED = "found", "found otherwise", "missed"
QUIET, VERDICT, ALARM = "quiet", "verdict", "alarm"
"""What came of a copy without a fault: nothing asks for action; only a verdict about the engine does, which
follows from readings that were drawn near a limit; something speaks of the sheet, a false alarm."""

GOAL, MOST_ALARMS = 0.99, 0.01
PROGRAM, SECONDS_EACH = shutil.which("soffice"), 30
SAVING_UNDOES = {"stale", "no-values", "macros", "link", "name", "row-out", "sheet-out", "respelt", PAIR}
"""What the office program puts right, or writes another way, when it opens and saves a workbook."""


@dataclass(frozen=True)
class Outcome:
    """What came of one copy: kind and part of it by size, whether it had to be found, the result."""

    kind: str
    seed: int
    size: str
    decidable: bool
    result: str
    told: str


def tells(finding: Finding, fault: Fault) -> bool:
    """Return whether a finding is the right one for a fault: its code, at its cell."""
    place = finding.place
    if finding.code not in fault.codes:
        return False
    at = {finding.quantity, place.sheet, f"{place.sheet}!{place.cell}"}
    return not fault.places or bool(at & fault.places) or any(
        place in finding.found for place in fault.places if "_" in place
    )


def outcomes(order: Ordered, report: SheetReport) -> Iterable[Outcome]:
    """Yield what came of one copy; of a pair of faults, what came of each."""
    if not order.faults or all(not fault.codes for fault in order.faults):
        told = [finding for finding in report.findings if not finding.code.startswith("LIMIT05")]
        asks = [one for one in report.findings if one.severity is not Severity.INFORMATION]
        false = report.exit_status > 1 or any(not one.about_engine for one in asks)
        result = ALARM if false else VERDICT if asks else QUIET
        yield Outcome(order.kind, order.seed, "", True, result, _told(told))
        return
    for fault in order.faults:
        if any(tells(finding, fault) for finding in report.findings):
            result = FOUND
        else:
            result = OTHERWISE if report.exit_status != 0 else MISSED
        yield Outcome(order.kind, order.seed, fault.size, fault.decidable, result, _told(report.findings))


def _told(findings: Iterable[Finding]) -> str:
    return "; ".join(f"{f.code} {f.quantity or f.place.sheet}" for f in findings if f.code != "LIMIT05")[:300]


def run_batch(
    wanted: Sequence[tuple[str, int]], engines: Sequence[str], *, office: bool = False
) -> list[Outcome]:
    """Make, write and check some copies; `office` has each opened and saved by the office program first."""
    found = []
    orders = [order for kind, seed in wanted if (order := ordered(kind, seed, engines)) is not None]
    for batch in batches(orders):
        with tempfile.TemporaryDirectory() as folder:
            paths = []
            for order, data in zip(batch, written(batch), strict=True):
                paths.append(Path(folder) / f"{order.kind}-{order.seed}.xlsx")
                paths[-1].write_bytes(data)
            if office:
                paths = saved_by_office(paths)
            for order, report in zip(batch, check_workbooks(paths), strict=True):
                found += outcomes(order, report)
    return found


def kept_batch(
    wanted: Sequence[tuple[str, int]], engines: Sequence[str], *, office: bool = False,
    keep: Path | None = None, only_kept: bool = False,
) -> list[Outcome]:
    """Return what came of some copies; a run that was broken off left it in the folder `keep`.

    With `only_kept` nothing else is made.
    """
    if keep is None:
        return run_batch(wanted, engines, office=office)
    known = keep / f"{sha256(repr((wanted, tuple(engines), office)).encode()).hexdigest()[:16]}.json"
    if known.exists():
        return [Outcome(**one) for one in json.loads(known.read_text("utf-8"))]
    if only_kept:
        return []
    found = run_batch(wanted, engines, office=office)
    keep.mkdir(parents=True, exist_ok=True)
    known.write_text(json.dumps([asdict(one) for one in found]), encoding="utf-8")
    return found


def saved_by_office(paths: Sequence[Path]) -> list[Path]:
    """Return the same workbooks as the office program recalculates and saves them.

    Raises
    ------
    FileNotFoundError
        The program is not installed.
    """
    if PROGRAM is None:
        raise FileNotFoundError("soffice")
    folder = paths[0].parent
    subprocess.run(
        [PROGRAM, f"-env:UserInstallation=file://{folder}/profile", "--headless", "--convert-to",
         "xlsx:Calc MS Excel 2007 XML", "--outdir", str(folder / "saved"), *map(str, paths)],
        check=True, capture_output=True, timeout=SECONDS_EACH * len(paths) + SECONDS_EACH,
    )
    return [folder / "saved" / path.name for path in paths]


def measure(
    clean: int, each: int, pairs: int, engines: Sequence[str] = tuple(ENGINES), jobs: int = 1,
    told: Callable[[int, int], None] = lambda done, of: None, *, office: bool = False,
    keep: Path | None = None, only_kept: bool = False,
) -> list[Outcome]:
    """Check a corpus of so many clean copies, copies of each kind, and copies with two faults.

    With `office`, kinds that opening and saving undoes are left out.  In the folder `keep` a run leaves what
    it has found, so that one that was broken off goes on from there: it is for one state of the program.
    With `only_kept` nothing is added to it: every part is a copy or so of each kind, so that a run that was
    broken off is a smaller sample of the whole.
    """
    kinds = [kind for kind in (*FAULTY, *NO_FAULT) if not (office and kind in SAVING_UNDOES)]
    spread = max(1, len(engines))
    turns = max(1, -(-each // spread))
    wanted: dict[tuple[int, int], list[tuple[str, int]]] = {}
    for kind, count in (*((kind, each) for kind in kinds), (CLEAN, clean), (PAIR, pairs)):
        for number in range(count):
            # a part is a copy or so of every kind, of one engine: they share readings and are soon done
            row, turn = number % spread, number // spread
            seed = row * ALIKE + turn % ALIKE + turn // ALIKE * ALIKE * spread
            wanted.setdefault((turn % turns, row), []).append((kind, seed))
    parts = [wanted[place] for place in sorted(wanted)]
    run = partial(kept_batch, engines=engines, office=office, keep=keep, only_kept=only_kept)
    found: list[Outcome] = []
    if jobs <= 1:
        for number, part in enumerate(parts):
            found += run(part)
            told(number + 1, len(parts))
        return found
    with ProcessPoolExecutor(jobs) as pool:
        for number, one in enumerate(pool.map(run, parts)):
            found += one
            told(number + 1, len(parts))
    return found


@dataclass(frozen=True)
class Row:
    """One line of the table."""

    title: str
    copies: int
    found: int
    otherwise: int
    missed: int
    decidable: bool

    @property
    def share(self) -> float:
        """Share of the copies whose fault was told by the right finding at the right place."""
        return self.found / self.copies if self.copies else 1.0


TITLES = {**{kind: one.title for kind, one in FAULTY.items()}, PAIR: "two faults in one sheet, each"}


def rows(found: Iterable[Outcome], titles: Mapping[str, str] = TITLES) -> list[Row]:
    """Return the lines of the table of faults, in the order of their titles."""
    counted: dict[tuple[str, str, bool], Counter[str]] = {}
    for one in found:
        if one.result in (FOUND, OTHERWISE, MISSED):
            counted.setdefault((one.kind, one.size, one.decidable), Counter())[one.result] += 1
    order = {kind: number for number, kind in enumerate(titles)}
    lines = []
    for (kind, size, decidable), counts in sorted(
        counted.items(), key=lambda item: (order[item[0][0]], not item[0][2])
    ):
        title = titles[kind]
        lines.append(Row(
            f"{title}, {size}" if size else title, sum(counts.values()),
            counts[FOUND], counts[OTHERWISE], counts[MISSED], decidable,
        ))
    return lines


def alarms(found: Iterable[Outcome], *kinds: str, result: str = ALARM) -> tuple[int, int]:
    """Return how many copies without a fault raised a false alarm, and how many there were."""
    own = [one for one in found if one.kind in kinds]
    return sum(one.result == result for one in own), len(own)


def short_of_the_goal(found: Sequence[Outcome], titles: Mapping[str, str] = TITLES) -> list[str]:
    """Return what misses the goal, as sentences."""
    told = [
        f"{row.title}: {row.found} of {row.copies}"
        for row in rows(found, titles) if row.decidable and row.share < GOAL
    ]
    for kinds in ((CLEAN,), tuple(NO_FAULT)):
        loud, count = alarms(found, *kinds)
        if count and loud / count >= MOST_ALARMS:
            told.append(f"{', '.join(kinds)}: {loud} of {count} copies without a fault raise an alarm")
    return told
