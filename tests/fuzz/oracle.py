"""What may never come of a spoilt workbook: a traceback, a live report, a changed meaning called clean.

The meaning is read a second time by another program's reader, which shares nothing with ours.
"""

from __future__ import annotations

import csv
import io
import math
import re
import warnings
import zipfile
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from functools import cached_property
from typing import Any
from xml.etree import ElementTree

import openpyxl
from openpyxl.utils.datetime import from_excel, to_excel

from sheetgen.fill import MAIN
from sheetgen.plan import Plan
from validators.batch import Outcome
from validators.canonical import UnreadableFormula, canonical
from validators.contents import LONGEST_HELD
from validators.findings import BatchReport, Severity, Status
from validators.reports.as_csv import as_csv
from validators.reports.as_html import as_html
from validators.reports.as_json import as_json
from validators.reports.as_text import as_text
from validators.reports.as_xlsx import as_xlsx

LIVE = re.compile(r"^\s*[=+@\t\r-](?![0-9. ]|$)")
WITHOUT_MEANING = re.compile(r"docProps/|xl/(?:charts|drawings|theme|worksheets/_rels)/")
"""Parts that the other reader does not look into for what cells hold."""

BESIDE_SHEETS = frozenset({"xl/styles.xml", "xl/sharedStrings.xml"})
"""Parts without which the values stored with formulas are the same: a text of theirs stands in the sheet."""

WORKBOOK = "xl/workbook.xml"
NAMES = re.compile(rb"<definedNames>.*</definedNames>", re.DOTALL)
MARKUP = re.compile(r"<script>alert|<img src=x|href=\"javascript:", re.IGNORECASE)


Held = dict[tuple[str, str], Any]
"""What stands at a sheet and address; of a name, which has no sheet, where it points."""


@dataclass(frozen=True)
class Base:
    """A faultless workbook that others are spoilt from."""

    name: str
    plan: Plan
    data: bytes

    @cached_property
    def parts(self) -> Mapping[str, bytes]:
        """Its parts, unpacked."""
        return members_of(self.data)

    def title_of(self, part: str) -> str | None:
        """Return the title of the sheet in a part, None when it holds none."""
        match = re.fullmatch(r"xl/worksheets/sheet(\d+)\.xml", part)
        listed = [sheet.template.title for sheet in self.plan.sheets]
        return listed[int(match[1]) - 1] if match and int(match[1]) <= len(listed) else None

    @cached_property
    def meaning(self) -> tuple[Held, Held]:
        """What its cells and names hold, and what is stored in its cells, by the other reader."""
        return read_meaning(self.parts)


def members_of(data: bytes) -> dict[str, bytes]:
    """Return the members of an archive; of two that have one name the second, as the other reader does."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {item.filename: archive.read(item) for item in archive.infolist()}


def read_meaning(parts: Mapping[str, bytes], *, stored: bool = True) -> tuple[Held, Held]:
    """Return formulas and values, and stored values, of every cell by sheet and address; names as well.

    Stored values only if they are wanted.
    """
    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w") as archive:
        for name, data in parts.items():
            if not WITHOUT_MEANING.match(name):
                archive.writestr(zipfile.ZipInfo(name), data)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        book = openpyxl.load_workbook(whole, read_only=True)
        names: Held = {
            ("", name): str(defined.attr_text).replace("$", "")
            for name, defined in book.defined_names.items()
        }
        meaning = names | _held(book)
        if not stored:
            return meaning, {}
        book._data_only = True  # sheets are read anew each time, and it need not be opened twice
        return meaning, _held(book)


def _held(book: openpyxl.Workbook) -> Held:
    found: Held = {}
    for sheet in book.worksheets:
        sheet.reset_dimensions()
        for row in sheet.iter_rows():
            for cell in row:
                if cell.value is not None:
                    found[sheet.title, cell.coordinate] = getattr(cell.value, "text", cell.value)
    return found


def fault_of(base: Base, data: bytes, outcome: Outcome) -> str | None:
    """Return what is wrong with what came of a file, "" when nothing is.

    None where it is called clean and the other reader can make nothing of it.
    """
    report = outcome.report
    ours = [finding.found for finding in report.findings if finding.code == "TOOL01"]
    if ours:
        return f"failed: {ours[0]}"
    if not report.findings and report.status is not Status.CHECKED:
        return "not read, and nothing said"
    disagree = [f.found for f in report.findings if f.code == "CALC03"]
    if disagree:
        return f"sheet and core disagree: {disagree[0]}"
    if any(finding.severity is not Severity.INFORMATION for finding in report.findings):
        return ""
    return _wrong_pass(base, data, outcome)


def _wrong_pass(base: Base, data: bytes, outcome: Outcome) -> str | None:
    """Return what a file called clean holds that its original does not."""
    try:
        parts = members_of(data)
    except Exception:  # whatever the other reader fails with, it says nothing against it
        return None
    changed = [name for name, was in base.parts.items()
               if parts.get(name) != was and not WITHOUT_MEANING.match(name)]
    if not changed:  # what was added is nothing to the other reader: it goes where the others lead
        return ""
    titles = [title for name in changed if (title := base.title_of(name))]
    only = titles if len(titles) == len(changed) else None
    wanted = _what_counts(base, parts, changed if only else parts)
    try:
        meaning, stored = read_meaning(wanted, stored=not BESIDE_SHEETS.issuperset(changed))
    except Exception:  # as above; where nothing else is at hand, what is planned must be there as it was
        return "" if only and _same_markup(base, parts, changed) else None
    entries = {} if outcome.contents is None else dict(
        zip((cell.name for cell in base.plan.cells if cell.is_input), outcome.contents.entries, strict=True)
    )
    typed = False
    cells = [cell for cell in base.plan.cells if only is None or cell.sheet in only]
    for cell in cells:
        if not cell.is_input:
            continue
        place = (cell.sheet, cell.address)
        held, was, told = meaning.get(place), base.meaning[0].get(place), entries.get(cell.name)
        if not _same(held, was):
            typed = True
            if not _same(held, told) and not _same_day(held, told):
                return f"{cell.sheet}!{cell.address} holds {held!r:.80}, read as {told!r:.80}"
    for cell in cells:
        place = (cell.sheet, cell.address)
        if cell.is_input or (cell.value is None and not cell.formula):
            continue
        held, was = meaning.get(place), base.meaning[0].get(place)
        if cell.formula:
            if not _same_formula(held, was, cell.sheet):
                return f"formula {cell.sheet}!{cell.address} is {held!r:.80}, was {was!r:.80}"
            value, before = stored.get(place), base.meaning[1].get(place)
            if not typed and value is not None and not _same(value, before):
                return f"stored {cell.sheet}!{cell.address} is {value!r:.80}, was {before!r:.80}"
        elif not _same(held, was):
            return f"{cell.sheet}!{cell.address} is {held!r:.80}, was {was!r:.80}"
    for name in base.plan.names if WORKBOOK in changed else ():
        if meaning.get(("", name)) != base.meaning[0].get(("", name)):
            return f"name {name} is {meaning.get(('', name))!r:.80}"
    return ""


def _same_markup(base: Base, parts: Mapping[str, bytes], changed: Collection[str]) -> bool:
    """Return whether every planned cell of some sheets is written as it was, what else may stand there."""
    for name in changed:
        planned = {cell.address for cell in base.plan.cells if cell.sheet == base.title_of(name)}
        try:
            was, now = (
                {cell.get("r"): [(e.tag, sorted(e.items()), e.text or "") for e in cell.iter()]
                 for cell in ElementTree.fromstring(part).iter(f"{{{MAIN}}}c") if cell.get("r") in planned}
                for part in (base.parts[name], parts.get(name, b""))
            )
        except ElementTree.ParseError:
            return False
        if was != now:
            return False
    return True


def _what_counts(base: Base, parts: Mapping[str, bytes], wanted: Collection[str]) -> dict[str, bytes]:
    """Return the parts that are to be read again: no sheets that nobody wants, nor names as they were."""
    found = {name: data for name, data in parts.items() if name in wanted or base.title_of(name) is None}
    if found.get(WORKBOOK) == base.parts[WORKBOOK]:
        found[WORKBOOK] = NAMES.sub(b"", found[WORKBOOK])
    return found


def _same(one: Any, other: Any) -> bool:
    if isinstance(one, bool) != isinstance(other, bool):
        return False
    if isinstance(one, int | float) and isinstance(other, int | float):
        return math.isclose(one, other, rel_tol=1e-9, abs_tol=1e-12)
    if one in (None, "") and other in (None, ""):
        return True
    if isinstance(other, datetime | time | timedelta) and isinstance(one, int | float):
        one, other = other, one
    if isinstance(one, datetime | time | timedelta) and isinstance(other, int | float):
        return math.isclose(to_excel(one), other, rel_tol=1e-9, abs_tol=1e-6)  # a number in another format
    if isinstance(one, datetime):
        return str(one)[:10] == str(other)[:10]
    return str(one).strip()[:LONGEST_HELD].split() == str(other).strip()[:LONGEST_HELD].split()


def _same_day(held: Any, told: Any) -> bool:
    """Return whether a number that is not shown as a date is the day that an entry was read as."""
    if not isinstance(held, int | float) or not isinstance(told, str):
        return False
    try:
        return str(from_excel(held))[:10] == told
    except (ValueError, OverflowError):
        return False


def _same_formula(one: Any, other: Any, sheet: str) -> bool:
    if one == other:
        return True
    if not isinstance(one, str) or not isinstance(other, str) or not one.startswith("="):
        return False
    try:
        return canonical(one[1:], sheet) == canonical(other[1:], sheet)
    except UnreadableFormula:
        return False


# ---------------------------------------------------------------- reports


def live_in_reports(report: BatchReport, *, workbook: bool = False) -> str:
    """Return what a report holds that a program would run or a terminal obey, "" when nothing."""
    text = as_text(report, all_findings=True)
    if any(not c.isprintable() and c != "\n" for c in text):
        return "the text report holds a control character"
    for line in csv.reader(io.StringIO(as_csv(report))):
        for field in line:
            if LIVE.match(field):
                return f"the CSV report holds {field!r:.60}"
    as_json(report).encode("utf-8", "backslashreplace")
    if found := MARKUP.search(as_html(report)):
        return f"the page holds {found[0]!r}"
    if workbook:
        return _live_in_workbook(as_xlsx(report))
    return ""


def _live_in_workbook(data: bytes) -> str:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        for name in archive.namelist():
            if name.startswith("xl/worksheets/sheet") and b"<f" in (
                text := re.sub(rb"<form|<firstFooter|<filter", b"", archive.read(name))
            ) and re.search(rb"<f[ >]", text):
                return f"{name} of the report holds a formula"
    return ""
