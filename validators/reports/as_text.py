"""A report as text for a person at a terminal."""

from __future__ import annotations

import textwrap
from collections import Counter
from collections.abc import Iterator

from validators.findings import BatchReport, Finding, Severity, SheetReport, Status
from validators.together import counted

WIDTH = 100
MOST_HELD = 6


def as_text(report: BatchReport, *, all_findings: bool = False) -> str:
    """Return the whole report; notes for information are left out unless they are asked for."""
    lines: list[str] = []
    for sheet in report.sheets:
        lines += [*_sheet(sheet, all_findings=all_findings), ""]
    shown = [f for f in report.findings if all_findings or f.severity is not Severity.INFORMATION]
    if shown:
        lines.append("The pile")
        for finding in sorted(shown, key=lambda f: f.severity.rank):
            lines += _finding(finding)
        lines.append("")
    if len(report.sheets) != 1 or report.findings:
        lines += list(_total(report, len(report.findings) - len(shown)))
    return "\n".join(lines).rstrip() + "\n"


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
    if finding.code.startswith("PILE") and str(finding.place):
        place = f"{finding.place.file}  {place}"
    yield f"    {finding.code} {finding.name} [{finding.severity}]   {printable(place)}"
    for head, text in (
        ("found", finding.found),
        ("expected", finding.expected),
        ("to do", finding.todo),
        ("holds up", _held(finding.holds_up)),
    ):
        if text:
            yield textwrap.fill(
                printable(text), WIDTH, initial_indent=f"      {head:<10} ", subsequent_indent=" " * 17
            )


def _held(names: tuple[str, ...]) -> str:
    more = f" and {len(names) - MOST_HELD} more" if len(names) > MOST_HELD else ""
    return ", ".join(names[:MOST_HELD]) + more


def _summary(sheet: SheetReport, hidden: int) -> str:
    if sheet.status is Status.UNREADABLE:
        return "This file could not be read; nothing is said about the engine."
    counts = Counter(verdict.word for verdict in sheet.verdicts)
    words = (
        "within",
        "under",
        "over",
        "too close to call",
        "not measured",
        "no limit set",
        "check limits",
        "check entry",
    )
    told = ", ".join(f"{counts[word]} {word}" for word in words if counts[word])
    severities = Counter(finding.severity for finding in sheet.findings)
    acts = ", ".join(
        f"{severities[s]} {s}" for s in Severity if severities[s] and s is not Severity.INFORMATION
    )
    rest = f" ({hidden} more for information: --all shows them)" if hidden else ""
    return f"Verdicts: {told or 'none'}.  Findings: {acts or 'nothing to act on'}{rest}."


def _total(report: BatchReport, hidden: int) -> Iterator[str]:
    by_status = Counter(sheet.exit_status for sheet in report.sheets)
    yield (
        f"{counted(len(report.sheets), 'file')}: {by_status[0]} with nothing to act on, "
        f"{by_status[1]} to act on, {by_status[2]} could not be read."
        + (f" {hidden} more about the pile, for information: --all shows them." if hidden else "")
    )


def printable(text: str) -> str:
    r"""Return text with control characters shown as escapes, so that it cannot steer a terminal.

    Examples
    --------
    >>> printable("a\x1b[31mb")
    'a\\x1b[31mb'
    """
    return "".join(c if c.isprintable() else ascii(c)[1:-1] for c in text)
