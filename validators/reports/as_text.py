"""A report as text for a person at a terminal."""

from __future__ import annotations

import os
import textwrap
from collections import Counter
from collections.abc import Iterator

from validators.findings import BatchReport, Brief, Finding, Severity, SheetReport, Status
from validators.reports.calls import calls_of
from validators.reports.kinds import MOST_IN_FULL, PER_PAGE, kinds_of
from validators.reports.strips import words_in
from validators.together import counted

WIDTH = 100
MOST_HELD = 6


def as_text(report: BatchReport, *, all_findings: bool = False) -> str:
    """Return the whole report; notes for information are left out unless they are asked for.

    Of several files, those that say nothing stand together in a list, and whom to call comes last, where
    a terminal shows it.
    """
    many = len(report.sheets) != 1
    brief = len(report.sheets) > MOST_IN_FULL and not all_findings
    lines: list[str] = []
    silent = []
    for number, sheet in enumerate(report.briefs):
        if many and sheet.exit_status == 0 and not (all_findings and sheet.kinds):
            silent.append(sheet)
        elif brief:
            lines.append(_line(sheet))
        else:
            lines += [*_sheet(report.told(number), all_findings=all_findings), ""]
    if brief:
        lines += _by_kind(report)
    elif silent:
        lines += ["Nothing to act on", *map(_silent, silent), ""]
    shown = [f for f in report.findings if all_findings or f.severity is not Severity.INFORMATION]
    if shown:
        lines.append("The pile")
        for finding in sorted(shown, key=lambda f: f.severity.rank):
            lines += [_of_pile(finding)] if brief else _finding(finding)
        lines.append("")
    if many:
        lines += _calls(report)
    if many or report.findings:
        lines += _total(report, len(report.findings) - len(shown))
    return "\n".join(lines).rstrip() + "\n"


def _silent(sheet: Brief) -> str:
    job = f"   job {printable(sheet.job)}" if sheet.job else ""
    return f"  {printable(sheet.file)}{job}   {_verdicts(sheet)}"


def _line(sheet: Brief) -> str:
    """Return one line about a file of a large pile that asks for somebody."""
    job = f"   job {printable(sheet.job)}" if sheet.job else ""
    if sheet.unread:
        return f"{printable(sheet.file)}{job}   could not be read"
    return f"{printable(sheet.file)}{job}   {acts(sheet.count(Severity.BLOCKS), sheet.count(Severity.LOOK))}"


def acts(blocking: int, looking: int) -> str:
    """Return how many findings ask for somebody, "" where none does.

    Examples
    --------
    >>> acts(1, 2), acts(3, 0), acts(0, 1)
    ('1 blocks assembly, 2 need a look', '3 block assembly', '1 needs a look')
    """
    return ", ".join(
        f"{count} {one if count == 1 else many}"
        for count, one, many in (
            (blocking, str(Severity.BLOCKS), "block assembly"), (looking, str(Severity.LOOK), "need a look"),
        )
        if count
    )


def _of_pile(finding: Finding) -> str:
    """Return one line about what else came in a large pile."""
    return f"  {finding.code} {finding.name} [{finding.severity}]   {printable(finding.place.file)}"


def _by_kind(report: BatchReport) -> Iterator[str]:
    """Yield what was found in a large pile, each kind once."""
    yield ""
    kinds = [kind for kind in kinds_of(report) if kind.severity is not Severity.INFORMATION]
    if kinds:
        yield "What was found"
        for kind in kinds:
            where = f"{counted(kind.count, 'time')} in {counted(kind.files, 'file')}"
            yield f"  {kind.code} {kind.name} [{kind.severity}]   {where}"
        yield ""
    yield (
        "So many files: each has one line. --all shows every finding, --report FILE.html has a page for "
        f"every {PER_PAGE}."
    )
    yield ""


def _calls(report: BatchReport) -> Iterator[str]:
    calls = calls_of(report)
    if not calls:
        return
    yield "Whom to call, the first one first"
    for number, call in enumerate(calls, 1):
        who = "whoever sent what could not be read" if call.unread else call.who or "nobody is named"
        jobs = ", ".join(job.name for job in call.jobs[:MOST_HELD] if job.name)
        more = f" and {len(call.jobs) - MOST_HELD} more" if len(call.jobs) > MOST_HELD else ""
        files = f"{len(call.concerns)} file{'s' if len(call.concerns) > 1 else ''}"
        about = f" of job {jobs}{more}" if jobs else ""
        counts = acts(call.blocking, call.looking)
        yield f"  {number}. {printable(who)}: {printable(f'{files}{about}')}; {counts}"
    yield ""


def _sheet(sheet: SheetReport, *, all_findings: bool) -> Iterator[str]:
    about = ", ".join(
        part
        for part in (
            f"job {sheet.job}" if sheet.job else "",
            sheet.layout,
            f"{sheet.family} family" if sheet.family else "",
        )
        if part
    )
    yield f"{printable(sheet.file)}" + (f"   {printable(about)}" if about else "")
    shown = [f for f in sheet.findings if all_findings or f.severity is not Severity.INFORMATION]
    for title, findings in (
        ("The sheet", [f for f in shown if not f.about_engine]),
        ("The engine", [f for f in shown if f.about_engine]),
    ):
        if findings:
            yield ""
            yield f"  {title}"
            for finding in sorted(findings, key=lambda f: f.severity.rank):
                yield from _finding(finding)
    yield ""
    yield f"  {_summary(sheet, len(sheet.findings) - len(shown))}"


def _finding(finding: Finding) -> Iterator[str]:
    place = str(finding.place) or finding.place.file
    if finding.about_pile and str(finding.place):
        place = f"{finding.place.file}  {place}"
    yield f"    {finding.code} {finding.name} [{finding.severity}]   {printable(place)}"
    for head, text in (
        ("found", finding.found),
        ("expected", finding.expected),
        ("to do", finding.todo),
        ("holds up", held(finding.holds_up)),
    ):
        if text:
            yield textwrap.fill(
                printable(text), WIDTH, initial_indent=f"      {head:<10} ", subsequent_indent=" " * 17
            )


def held(names: tuple[str, ...]) -> str:
    """Return the first few names, and how many more there are."""
    more = f" and {len(names) - MOST_HELD} more" if len(names) > MOST_HELD else ""
    return ", ".join(names[:MOST_HELD]) + more


def _summary(sheet: SheetReport, hidden: int) -> str:
    if sheet.status is Status.UNREADABLE:
        return "This file could not be read; nothing is said about the engine."
    severities = Counter(finding.severity for finding in sheet.findings)
    asked = acts(severities[Severity.BLOCKS], severities[Severity.LOOK])
    rest = f" ({hidden} more for information: --all shows them)" if hidden else ""
    return f"{_verdicts(sheet.brief)}  Findings: {asked or 'nothing to act on'}{rest}."


def _verdicts(sheet: Brief) -> str:
    told = ", ".join(f"{count} {word}" for word, count in words_in([sheet]))
    return f"Verdicts: {told or 'none'}."


def _total(report: BatchReport, hidden: int) -> Iterator[str]:
    by_status = Counter(sheet.exit_status for sheet in report.briefs)
    yield (
        f"{counted(len(report.sheets), 'file')}: {by_status[0]} with nothing to act on, "
        f"{by_status[1]} to act on, {by_status[2]} could not be read."
        + (f" {hidden} more about the pile, for information: --all shows them." if hidden else "")
    )


def shown_names(files: list[str]) -> list[str]:
    """Return what files are called in a report: their paths without the folders that all of them share.

    Examples
    --------
    >>> shown_names(["in/monday/a.xlsx", "in/tuesday/a.xlsx"])
    ['monday/a.xlsx', 'tuesday/a.xlsx']
    """
    parts = [file.replace(os.sep, "/").split("/") for file in files]
    shared = 0
    while parts and all(len(p) > shared + 1 and p[shared] == parts[0][shared] for p in parts):
        shared += 1
    return ["/".join(p[shared:]) for p in parts]


def printable(text: str) -> str:
    r"""Return text with control characters shown as escapes, so that it cannot steer a terminal.

    Examples
    --------
    >>> printable("a\x1b[31mb")
    'a\\x1b[31mb'
    """
    return "".join(c if c.isprintable() else ascii(c)[1:-1] for c in text)
