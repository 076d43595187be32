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

import openpyxl
from openpyxl.utils.datetime import to_excel

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
WITHOUT_MEANING = re.compile(r"docProps/|xl/(?:charts|drawings|theme)/|xl/extra\.bin$")
MARKUP = re.compile(r"<script>alert|<img src=x|href=\"javascript:", re.IGNORECASE)


@dataclass(frozen=True)
class Base:
    """A faultless workbook that others are spoilt from."""

    name: str
    plan: Plan
    data: bytes

    @cached_property
    def parts(self) -> Mapping[str, bytes]:
        """Its parts, unpacked."""
        with zipfile.ZipFile(io.BytesIO(self.data)) as archive:
            return {item.filename: archive.read(item) for item in archive.infolist()}

    def title_of(self, part: str) -> str | None:
        """Return the title of the sheet in a part, None when it holds none."""
        match = re.fullmatch(r"xl/worksheets/sheet(\d+)\.xml", part)
        return self.plan.sheets[int(match[1]) - 1].template.title if match else None

    @cached_property
    def meaning(self) -> Mapping[tuple[str, str], Any]:
        """What its planned cells hold, by the other reader."""
        return read_meaning(self.data)

    @cached_property
    def stored(self) -> Mapping[tuple[str, str], Any]:
        """The stored values of its cells, by the other reader."""
        return read_meaning(self.data, stored=True)


def read_meaning(
    data: bytes, *, stored: bool = False, only: Collection[str] | None = None
) -> dict[tuple[str, str], Any]:
    """Return formulas and values, or stored values, of every cell by sheet and address; names as well.

    `only` names the sheets that are wanted.
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        book = openpyxl.load_workbook(io.BytesIO(data), data_only=stored, read_only=True)
        found: dict[tuple[str, str], Any] = {
            ("", name): str(defined.attr_text).replace("$", "")
            for name, defined in book.defined_names.items()
        }
        for sheet in book.worksheets:
            if only is not None and sheet.title not in only:
                continue
            sheet.reset_dimensions()
            for row in sheet.iter_rows():
                for cell in row:
                    if cell.value is not None:
                        found[sheet.title, cell.coordinate] = getattr(cell.value, "text", cell.value)
    return found


def fault_of(base: Base, data: bytes, outcome: Outcome) -> str:
    """Return what is wrong with what came of a file, "" when nothing is."""
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


def _wrong_pass(base: Base, data: bytes, outcome: Outcome) -> str:
    """Return what a file called clean holds that its original does not."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            parts = {item.filename: archive.read(item) for item in archive.infolist()}
        if all(base.parts.get(name) == parts.get(name) for name in base.parts.keys() | parts.keys()
               if not WITHOUT_MEANING.match(name)):
            return ""
        only = _changed_sheets(base, parts)
        meaning, stored = read_meaning(data, only=only), read_meaning(data, stored=True, only=only)
    except Exception:  # the other reader makes nothing of it, so it says nothing against it
        return ""
    entries = {} if outcome.contents is None else dict(
        zip((cell.name for cell in base.plan.cells if cell.is_input), outcome.contents.entries, strict=True)
    )
    changed = False
    cells = [cell for cell in base.plan.cells if only is None or cell.sheet in only]
    for cell in cells:
        if not cell.is_input:
            continue
        place = (cell.sheet, cell.address)
        held, was, told = meaning.get(place), base.meaning.get(place), entries.get(cell.name)
        if not _same(held, was):
            changed = True
            if not _same(held, told):
                return f"{cell.sheet}!{cell.address} holds {held!r:.80}, read as {told!r:.80}"
    for cell in cells:
        place = (cell.sheet, cell.address)
        if cell.is_input or (cell.value is None and not cell.formula):
            continue
        held, was = meaning.get(place), base.meaning.get(place)
        if cell.formula:
            if not _same_formula(held, was, cell.sheet):
                return f"formula {cell.sheet}!{cell.address} is {held!r:.80}, was {was!r:.80}"
            value, before = stored.get(place), base.stored.get(place)
            if not changed and value is not None and not _same(value, before):
                return f"stored {cell.sheet}!{cell.address} is {value!r:.80}, was {before!r:.80}"
        elif not _same(held, was):
            return f"{cell.sheet}!{cell.address} is {held!r:.80}, was {was!r:.80}"
    for name in base.plan.names:
        if meaning.get(("", name)) != base.meaning.get(("", name)):
            return f"name {name} is {meaning.get(('', name))!r:.80}"
    return ""


def _changed_sheets(base: Base, parts: Mapping[str, bytes]) -> list[str] | None:
    """Return the titles of the sheets that differ; None when more than sheets does."""
    changed = [name for name in base.parts.keys() | parts.keys()
               if not WITHOUT_MEANING.match(name) and base.parts.get(name) != parts.get(name)]
    titles = [base.title_of(name) for name in changed]
    return None if None in titles else [title for title in titles if title]


def _same(one: Any, other: Any) -> bool:
    if isinstance(one, bool) != isinstance(other, bool):
        return False
    if isinstance(one, int | float) and isinstance(other, int | float):
        return math.isclose(one, other, rel_tol=1e-9, abs_tol=1e-12)
    if one in (None, "") and other in (None, ""):
        return True
    if isinstance(one, datetime | time | timedelta) and isinstance(other, int | float):
        return math.isclose(to_excel(one), other, rel_tol=1e-9, abs_tol=1e-6)  # a number in another format
    if isinstance(one, datetime):
        return str(one)[:10] == str(other)[:10]
    return str(one).strip()[:LONGEST_HELD].split() == str(other).strip()[:LONGEST_HELD].split()


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
