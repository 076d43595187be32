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
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import quote

import jinja2
from markupsafe import Markup

from sheetgen.look import look
from validators.findings import BatchReport, Finding, Place, Severity, SheetReport, Status
from validators.reports.as_json import VERSION
from validators.reports.as_text import printable
from validators.reports.calls import Call, Concern, calls_of, errands_for
from validators.reports.copies_shown import groups_of, names_in, standing
from validators.reports.jobs import jobs_of
from validators.reports.kinds import kinds_of
from validators.reports.parts import Part
from validators.reports.spreads import spreads_of
from validators.reports.strips import Strip, strips_of, words_in, words_of

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


@dataclass(frozen=True, kw_only=True)
class Most:
    """How much of each list stands on the page; None is all of it."""

    calls: int | None = None
    lines: int | None = None  # files of one call
    jobs: int | None = None
    groups: int | None = None
    came: int | None = None


ALL, FIRST = Most(), Most(calls=200, lines=20, jobs=200, groups=40, came=100)


@dataclass(frozen=True)
class Naming:
    """What the files of a report are called on its pages.

    Attributes
    ----------
    named : mapping
        By path, every file that the report speaks of.
    names : tuple of str
        Those that were checked, in their order.
    standing : mapping
        By path, which copy of its job a file is.
    """

    named: Mapping[str, str]
    names: tuple[str, ...]
    standing: Mapping[str, str]


def naming_of(report: BatchReport) -> Naming:
    """Return what the files of a report are called."""
    named = names_in(report)
    return Naming(named, tuple(named[brief.file] for brief in report.briefs), dict(standing(report)))


def as_html(
    report: BatchReport, folder: Path | None = None, *, calls: Sequence[Call] | None = None,
    parts: Sequence[Part] = (),
) -> str:
    """Return the page.

    Parameters
    ----------
    report : BatchReport
        What to show.
    folder : path, optional
        Where the page will lie: files that are on disk are linked from there.
    calls : sequence of Call, optional
        The calls, where they are known already.
    parts : sequence of Part
        Pages of their own on which the files stand; without them every file stands on this one.
    """
    files = len(report.sheets)
    large = files > LARGE
    calls = calls_of(report) if calls is None else calls
    naming = naming_of(report)
    groups = groups_of(report, large=large)
    beside = {anchor for group in groups for copy in group.files for anchor, _ in copy.findings}
    came = tuple(
        (f"pile-{number}", finding) for number, finding in enumerate(report.findings, 1)
        if finding.code not in SHOWN_WITH_COPIES or not (parts or f"pile-{number}" in beside)
    )
    sent = {brief.file for brief in report.briefs}
    asking = [f for f in report.findings if f.severity is not Severity.INFORMATION]
    unasked = sum(finding.place.file not in sent for finding in asking)
    told = {f"file-{number}": part for part in parts for number in part.numbers}
    return _rendered(
        "page.html.j2", naming,
        pages=[] if parts else [page_of(report, n, folder, large=large) for n in range(1, files + 1)],
        parts=parts, calls=calls, large=large, files=files, most=FIRST if parts else ALL,
        briefs=report.briefs, at=lambda anchor: _at(anchor, told),
        parts_of=lambda call: dict.fromkeys(told[f"file-{concern.number}"] for concern in call.concerns),
        errands=lambda concern: errands_for(report, concern), kinds=kinds_of(report) if large else (),
        title=title_of(report), hrefs={file: _href(file, folder) for file in naming.named},
        jobs=jobs_of(report), groups=groups,
        came=sorted(came, key=lambda pair: pair[1].severity.rank),
        unasked=unasked, spreads=spreads_of(report) if files > 1 else (),
        by_status=Counter(brief.exit_status for brief in report.briefs), words=words_in(report.briefs),
        tally=(sum(call.blocking for call in calls), sum(call.looking for call in calls) + unasked),
        up="", most_in_errand=MOST_IN_ERRAND,
    )


def part_as_html(
    report: BatchReport, part: Part, folder: Path | None, up: str, naming: Naming
) -> str:
    """Return a page on which some of the files of a large pile stand.

    Parameters
    ----------
    report : BatchReport
        The whole pile.
    part : Part
        Which of its files.
    folder : path or None
        Where the page will lie.
    up : str
        The way to the page about the whole pile.
    naming : Naming
        What the files are called, made once for all pages.
    """
    return _rendered(
        "files.html.j2", naming, part=part, up=_percent(up), large=True,
        pages=[page_of(report, number, folder, large=True) for number in part.numbers],
        title=f"{title_of(report)}, page {part.number}",
    )


def _at(anchor: str, told: Mapping[str, Part]) -> str:
    """Return the way to a place on the page, or on the page of its own on which a file stands."""
    if anchor in told:
        return f"{told[anchor].href}#{anchor}"
    return "#came" if told else f"#{anchor}"


def _rendered(template: str, naming: Naming, **given: Any) -> str:
    style, script = (_source(name) for name in ("page.css", "page.js"))
    style = re.sub(r"var\(--look-([a-z_]+)\)", lambda m: look()["colours"][m[1]], style)
    return _environment().get_template(template).render(
        version=VERSION,
        style=Markup(style), script=Markup(script),  # noqa: S704  both are our own files
        policy=f"default-src 'none'; style-src '{_digest(style)}'; script-src '{_digest(script)}'; "
        "base-uri 'none'; form-action 'none'",
        names=naming.names, named=naming.named, standing=naming.standing,
        most_held=MOST_HELD, severity=Severity, **given,
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


@cache
def _environment() -> jinja2.Environment:
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(FOLDER), autoescape=True, undefined=jinja2.StrictUndefined,
        finalize=cleaned, trim_blocks=True, lstrip_blocks=True,
    )
    environment.globals |= {"link": link, "cell_link": cell_link, "same_names": _same_names}
    environment.filters["kind"] = lambda word: re.sub(r"[^a-z]", "-", str(word).lower())
    return environment


def page_of(report: BatchReport, number: int, folder: Path | None, *, large: bool) -> Page:
    """Return one file's part of a page; files count from 1."""
    sheet = report.told(number - 1)
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


def title_of(report: BatchReport) -> str:
    """Return what the report is about."""
    if len(report.sheets) == 1:
        sheet = report.briefs[0]
        return f"Job {sheet.job}" if sheet.job else Path(sheet.file).name
    return f"{len(report.sheets)} returned sheets"


def _source(name: str) -> str:
    return (FOLDER / name).read_text(encoding="utf-8")


def _digest(text: str) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
