"""A report as one page that opens from disk: nothing to fetch, complete without a script.

Whatever a returned file says reaches the page as text only: it is cleaned of control characters, cut to a
length and escaped, all of it in one place, and the page itself forbids every script but its own.
"""

from __future__ import annotations

import base64
import hashlib
import os
import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import quote

import jinja2
from markupsafe import Markup

from sheetgen.look import look
from validators.findings import BatchReport, Finding, Place, Severity, SheetReport, Status
from validators.reports.as_json import VERSION
from validators.reports.as_text import printable
from validators.reports.calls import Concern, calls_of
from validators.reports.copies_shown import groups_of, names_in, standing
from validators.reports.jobs import jobs_of
from validators.reports.strips import Strip, spreads_of, strips_of, words_of

FOLDER = Path(__file__).parent / "page"
LARGE = 40  # files; beyond it the page keeps to what asks for somebody
LONGEST_TEXT = 600
MOST_FINDINGS = 60  # of one file in a large pile
MOST_HELD = 6
MOST_IN_ERRAND = 8
SHOWN_WITH_COPIES = ("PILE02",)



@dataclass(frozen=True)
class Page:
    """One file's part of the page."""

    number: int
    sheet: SheetReport
    href: str  # of the file itself, "" when it is not on disk
    findings: tuple[tuple[str, tuple[tuple[int, Finding], ...]], ...]  # by what they are about
    left_out: int
    strips: tuple[Strip, ...]
    words: tuple[tuple[str, int], ...]

    @property
    def unread(self) -> bool:
        """Whether the file could not be read."""
        return self.sheet.status is Status.UNREADABLE

    @property
    def severities(self) -> tuple[tuple[Severity, int], ...]:
        """How many findings are how bad."""
        counts = Counter(finding.severity for finding in self.sheet.findings)
        return tuple((severity, counts[severity]) for severity in Severity if counts[severity])


def as_html(report: BatchReport, folder: Path | None = None) -> str:
    """Return the page.

    Parameters
    ----------
    report : BatchReport
        What to show.
    folder : path, optional
        Where the page will lie: files that are on disk are linked from there.
    """
    large = len(report.sheets) > LARGE
    style, script = (_source(name) for name in ("page.css", "page.js"))
    style = re.sub(r"var\(--look-([a-z_]+)\)", lambda m: look()["colours"][m[1]], style)
    calls = calls_of(report)
    pages = [_page(number, sheet, folder, large=large) for number, sheet in enumerate(report.sheets, 1)]
    named = names_in(report)
    came = tuple(
        (f"pile-{number}", finding) for number, finding in enumerate(report.findings, 1)
        if finding.code not in SHOWN_WITH_COPIES
    )
    sent = {sheet.file for sheet in report.sheets}
    asking = [f for f in report.findings if f.severity is not Severity.INFORMATION]
    unasked = sum(finding.place.file not in sent for finding in asking)
    template = _environment().get_template("page.html.j2")
    return template.render(
        version=VERSION,
        style=Markup(style), script=Markup(script),  # noqa: S704  both are our own files
        policy=f"default-src 'none'; style-src '{_digest(style)}'; script-src '{_digest(script)}'; "
        "base-uri 'none'; form-action 'none'",
        pages=pages, names=[named[sheet.file] for sheet in report.sheets], calls=calls, large=large,
        title=_title(report), named=named, hrefs={file: _href(file, folder) for file in named},
        jobs=jobs_of(report),
        groups=groups_of(report, large=large), standing=dict(standing(report)),
        came=sorted(came, key=lambda pair: pair[1].severity.rank),
        unasked=unasked,
        spreads=spreads_of(report) if len(report.sheets) > 1 else (),
        by_status=Counter(sheet.exit_status for sheet in report.sheets),
        words=words_of(verdict for sheet in report.sheets for verdict in sheet.verdicts),
        tally=(sum(call.blocking for call in calls), sum(call.looking for call in calls) + unasked),
        most_held=MOST_HELD, most_in_errand=MOST_IN_ERRAND, severity=Severity,
    )


def link(href: str, finding: Finding) -> str:
    """Return where a link to a finding's cell leads, "" when its file is not on disk."""
    return cell_link(href, finding.place)


def cell_link(href: str, place: Place) -> str:
    """Return where a link to a cell leads, "" when its file is not on disk."""
    if not href or not place.sheet:
        return href
    return f"{href}#" + _percent("'" + place.sheet.replace("'", "''") + "'!" + (place.cell or "A1"))


def _same_names(concern: Concern, named: Mapping[str, str]) -> str:
    return ", ".join(named[file] for file in concern.same)


def cleaned(value: Any) -> Any:
    """Return text fit to be shown: no control characters, not too long."""
    if not isinstance(value, str) or isinstance(value, Markup):
        return value
    return printable(value if len(value) <= LONGEST_TEXT else f"{value[:LONGEST_TEXT]} … (cut)")


def _environment() -> jinja2.Environment:
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(FOLDER), autoescape=True, undefined=jinja2.StrictUndefined,
        finalize=cleaned, trim_blocks=True, lstrip_blocks=True,
    )
    environment.globals |= {"link": link, "cell_link": cell_link, "same_names": _same_names}
    environment.filters["kind"] = lambda word: re.sub(r"[^a-z]", "-", str(word).lower())
    return environment


def _page(number: int, sheet: SheetReport, folder: Path | None, *, large: bool) -> Page:
    shown = [
        (place, finding) for place, finding in enumerate(sheet.findings, 1)
        if not large or finding.severity is not Severity.INFORMATION
    ]
    shown.sort(key=lambda pair: pair[1].severity.rank)
    kept = shown[:MOST_FINDINGS] if large else shown
    strips = strips_of(sheet.verdicts)
    parts = [("About the sheet", False), ("About the engine", True)]
    parts.sort(key=lambda part: next((f.severity.rank for _, f in kept if f.about_engine is part[1]), 9))
    return Page(
        number=number, sheet=sheet, href=_href(sheet.file, folder),
        findings=tuple(
            (title, part)
            for title, engine in parts
            if (part := tuple(pair for pair in kept if pair[1].about_engine is engine))
        ),
        left_out=len(shown) - len(kept),
        strips=tuple(s for s in strips if not large or not s.settled), words=words_of(sheet.verdicts),
    )


def _href(file: str, folder: Path | None) -> str:
    if folder is None:
        return ""
    try:
        if not Path(file).is_file():
            return ""
        relative = os.path.relpath(Path(file).resolve(), folder.resolve())
    except (OSError, ValueError):  # another drive, or a name that no disk can hold
        return ""
    return _percent("./" + relative.replace(os.sep, "/"))


def _percent(text: str) -> str:
    return quote(os.fsencode(text), safe="/!'.")


def _title(report: BatchReport) -> str:
    if len(report.sheets) == 1:
        sheet = report.sheets[0]
        return f"Job {sheet.job}" if sheet.job else Path(sheet.file).name
    return f"{len(report.sheets)} returned sheets"


def _source(name: str) -> str:
    return (FOLDER / name).read_text(encoding="utf-8")


def _digest(text: str) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
