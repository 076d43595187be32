"""A report as a workbook: jobs, findings and verdicts as tables that can be sifted, sorted and printed.

Whatever a returned file says is written as a string, in a cell that is formatted as text, so that it stays
a string even when somebody edits the cell.
"""

from __future__ import annotations

import io
import math
import tempfile
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Any

import xlsxwriter

from sheetgen.look import look
from validators.findings import BatchReport, Brief, Finding, Severity, SheetReport, Verdict
from validators.reports.as_json import VERSION
from validators.reports.as_text import held, printable
from validators.reports.copies_shown import apart, names_in, told, untouched
from validators.reports.kinds import MOST_IN_FULL
from validators.reports.strips import WORDS

MARK = "boreledger report"
MOST_ROWS = 1_000_000  # a sheet holds a few more
MOST_VERDICTS = MOST_FINDINGS = MOST_DIFFERENCES = 60_000
QUIET = ("within", "not measured", "no limit set")
MOST_DECIMALS = 8
LONGEST_TEXT = 2_000
LINE, MOST_LINES = 13.0, 12
Value = str | float | None
Row = tuple[Sequence[Value], int]  # and the decimals of its numbers
NO_ROOM = "{left} more rows of '{name}' had no room on the sheet; the .json report has all."


@dataclass(frozen=True)
class Column:
    """One column: its head, its width in digits, and how its cells look."""

    head: str
    width: float
    look: str = "text"


JOB = (
    Column("File", 40), Column("Job", 13), Column("Measured by", 20), Column("Measured on", 12),
    Column("Status", 18), Column("Blocks assembly", 10, "count"), Column("Needs a look", 9, "count"),
    Column("For information", 12, "count"), *(Column(word.capitalize(), 10, "count") for word in WORDS),
    Column("Engine", 28), Column("Layout", 11), Column("Units", 12), Column("Builder", 18),
    Column("Saved with", 20), Column("Path", 50), Column("SHA-256", 70),
)
FINDING = (
    Column("Severity", 16), Column("Job", 12), Column("Measured by", 20), Column("To do", 42),
    Column("Sheet", 18), Column("Cell", 7), Column("Label", 30), Column("Found", 40), Column("Expected", 34),
    Column("Code", 9.5), Column("Name", 19), Column("About", 9), Column("Holds up", 30), Column("File", 36),
)
VERDICT = (
    Column("Word", 17), Column("Job", 12), Column("Sheet", 18), Column("Cell", 7), Column("Label", 40),
    Column("Value", 11, "number"), Column("Lower", 11, "number"), Column("Upper", 11, "number"),
    Column("Uncertainty U", 12, "number"), Column("Unit", 7), Column("Limits from", 26), Column("Name", 30),
    Column("File", 36),
)
COPY = (
    Column("Job", 13), Column("Sheet", 18), Column("Cell", 7), Column("Label", 36), Column("As issued", 13),
    Column("In the newest", 16), Column("In the older copy", 16), Column("Newest", 34),
    Column("Older copy", 34), Column("Newest by", 30), Column("Newest of", 26), Column("Older of", 26),
    Column("Name", 30),
)


def as_xlsx(report: BatchReport, beside: Path | None = None) -> bytes:
    """Return the bytes of the workbook.

    Parameters
    ----------
    report : BatchReport
        What to show.
    beside : Path, optional
        In this folder the rows of a large pile are put together; otherwise in the system's.

    Raises
    ------
    OSError
        There is no room for them.
    """
    with tempfile.TemporaryDirectory(dir=beside, prefix=".boreledger-", suffix=".part") as folder:
        return _book(report, folder)


def _book(report: BatchReport, folder: str) -> bytes:
    stream = io.BytesIO()
    too_different = _differences_left_out(report)
    large = len(report.sheets) > MOST_IN_FULL or bool(too_different)
    colours = look()["colours"]
    font = {"font_name": look()["font"], "font_size": look()["sizes"]["body"], "font_color": colours["ink"]}
    book = xlsxwriter.Workbook(stream, {
        "in_memory": not large, "constant_memory": large, "tmpdir": folder,
        "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False,
        "nan_inf_to_errors": True, "default_format_properties": font,
    })
    book.set_properties({"title": "Returned sheets", "comments": MARK})
    book.set_custom_property(MARK, VERSION)
    formats = _formats(book, colours)
    names = names_in(report)
    told = map(report.told, range(len(report.sheets)))
    jobs = (_job(sheet, names[sheet.file]) for sheet in told)
    judged = (_verdict(sheet, verdict, names[sheet.file]) for sheet, verdict in _kept(report))
    tables: list[tuple[str, Sequence[Column], Iterable[Row], str]] = [
        ("Jobs", JOB, jobs, "Within"),
        ("Findings", FINDING, _findings(report, names), "Code"),
        ("Verdicts", VERDICT, judged, "Limits from"),
    ]
    if report.copies:
        tables.append(("Copies", COPY, _copies(report, names, typed_only=bool(too_different)), "Older copy"))
    notes = [_findings_left_out(report), _verdicts_left_out(report), too_different]
    for name, columns, rows, printed in tables:
        left = _table(book, name, columns, rows, formats, printed=printed)
        notes.append(NO_ROOM.format(name=name, left=left) if left else "")
    _about(book, notes, formats)
    book.close()
    return stream.getvalue()


def _formats(book: Any, colours: dict[str, str]) -> dict[str, Any]:
    plain = {"valign": "top", "bottom": 1, "bottom_color": colours["hair"]}
    far = {**plain, "num_format": "@", "quote_prefix": True, "indent": 1}
    text = {**far, "text_wrap": True, "indent": 0}
    head = {
        "bold": True, "bg_color": colours["head"], "text_wrap": True, "valign": "top", "bottom": 2,
        "bottom_color": colours["ink"],
    }
    return {
        "head": book.add_format(head),
        "head_of_numbers": book.add_format({**head, "align": "right"}),
        "far": book.add_format(far),
        "text": book.add_format(text),
        "bad": book.add_format({**text, "bold": True, "bg_color": colours["bad"]}),
        "care": book.add_format({**text, "bold": True, "bg_color": colours["care"]}),
        "count": book.add_format({**plain, "num_format": '0;-0;"–"', "align": "right"}),
        "number": book.add_format({**plain, "num_format": "General", "align": "right"}),
        **{
            f"number{n}": book.add_format(
                {**plain, "num_format": f"0.{'0' * n}", "align": "right", "indent": 1}
            )
            for n in range(1, MOST_DECIMALS + 1)
        },
        "note": book.add_format({"text_wrap": True, "valign": "top"}),
        "title": book.add_format({"bold": True, "font_size": look()["sizes"]["title"]}),
    }


def _table(
    book: Any, name: str, columns: Sequence[Column], rows: Iterable[Row], formats: dict[str, Any], *,
    printed: str,
) -> int:
    """Write one table, which prints up to one column, and return how many rows had no room."""
    sheet = book.add_worksheet(name)
    sheet.set_row(0, 2 * LINE + 4)
    for place, column in enumerate(columns):
        sheet.set_column(place, place, column.width)
        head = "head" if column.look == "text" else "head_of_numbers"
        sheet.write_string(0, place, column.head, formats[head])
    coming = iter(rows)
    last, far = 0, [column.head for column in columns].index(printed) + 1
    for values, decimals in islice(coming, MOST_ROWS):
        last += 1
        sheet.set_row(last, _height(columns[:far], values[:far]))
        for place, (column, value) in enumerate(zip(columns, values, strict=True)):
            if value is None:
                sheet.write_blank(last, place, None, formats[column.look])
            elif isinstance(value, str):
                told = told_text(value)
                sheet.write_string(last, place, told, formats[_tone(place, told) if place < far else "far"])
            else:
                rounded = column.look == "number" and 1 <= decimals <= MOST_DECIMALS
                shown = f"number{decimals}" if rounded else column.look
                sheet.write_number(last, place, value, formats[shown])
    sheet.freeze_panes(1, 2)
    sheet.autofilter(0, 0, max(last, 1), len(columns) - 1)
    sheet.repeat_rows(0)
    sheet.set_landscape()
    sheet.set_paper(0)  # the printer's own: A4 or Letter
    sheet.fit_to_pages(1, 0)
    sheet.set_margins(left=0.4, right=0.4, top=0.5, bottom=0.6)
    sheet.set_footer("&L&A&R&P of &N")
    sheet.print_area(0, 0, max(last, 1), far - 1)
    return sum(1 for _ in coming)


def _height(columns: Sequence[Column], values: Sequence[Value]) -> float:
    """Return how high a row must be for its longest text."""
    lines = max(
        math.ceil(len(value) / (1.12 * column.width))
        for column, value in zip(columns, values, strict=True) if isinstance(value, str)
    )
    return LINE * min(max(lines, 1), MOST_LINES) + 3


def _tone(place: int, text: str) -> str:
    if place != 0:
        return "text"
    if text in (str(Severity.BLOCKS), "over", "under"):
        return "bad"
    careful = (str(Severity.LOOK), "too close to call", "check entry", "check limits")
    return "care" if text in careful else "text"


def told_text(text: str) -> str:
    """Return text as it is written to a cell: control characters as escapes, not longer than fits."""
    return printable(text if len(text) <= LONGEST_TEXT else f"{text[:LONGEST_TEXT]} … (cut)")


def _job(sheet: SheetReport, name: str) -> Row:
    severities = Counter(finding.severity for finding in sheet.findings)
    words = Counter(verdict.word for verdict in sheet.verdicts)
    return (
        name, sheet.job, sheet.measured_by, sheet.measured_on, _status(sheet),
        *(severities[severity] for severity in Severity), *(words[word] for word in WORDS), sheet.engine,
        sheet.layout, sheet.family, sheet.builder, sheet.saved_by, sheet.file, sheet.digest,
    ), 0


def _status(sheet: SheetReport) -> str:
    return ("nothing to act on", "something to act on", "could not be read")[sheet.exit_status]


def _findings(report: BatchReport, names: Mapping[str, str]) -> Iterator[Row]:
    """Yield the findings, what blocks first; what the pile says of a file stands with that file's job."""
    sheets = {brief.file: brief for brief in report.briefs}
    for brief, finding in _worst_first(report, sheets):
        about = "pile" if finding.about_pile else "engine" if finding.about_engine else "sheet"
        yield (
            str(finding.severity), brief.job if brief else "", brief.measured_by if brief else "",
            finding.todo, finding.place.sheet, finding.place.cell, finding.place.label, finding.found,
            finding.expected, finding.code, finding.name, about, held(finding.holds_up),
            names[brief.file if brief else finding.place.file],
        ), 0


def _worst_first(
    report: BatchReport, sheets: Mapping[str, Brief]
) -> Iterator[tuple[Brief | None, Finding]]:
    for severity in Severity:
        if severity is Severity.INFORMATION and _findings_left_out(report):
            continue
        for number, brief in enumerate(report.briefs):
            if brief.count(severity):
                yield from ((brief, f) for f in report.told(number).findings if f.severity is severity)
        yield from ((sheets.get(f.place.file), f) for f in report.findings if f.severity is severity)


def _copies(report: BatchReport, names: Mapping[str, str], *, typed_only: bool) -> Iterator[Row]:
    """Yield every entry in which an older copy is not as the newest, or only what was typed into it."""
    for copies in report.copies:
        for number, difference in apart(copies):
            if typed_only and untouched(difference, difference.values[number]):
                continue
            place, newest, older = difference.place, difference.values[0], difference.values[number]
            yield (
                copies.job, place.sheet, place.cell, place.label, told(difference.issued), told(newest),
                told(older), names[copies.files[0]], names[copies.files[number]],
                copies.told_by, copies.times[0], copies.times[number], difference.name,
            ), 0


def _kept(report: BatchReport) -> Iterator[tuple[SheetReport, Verdict]]:
    """Yield the verdicts to write, what asks for somebody first."""
    ranks = {word: rank for rank, word in enumerate(WORDS)}
    left_out = QUIET if _verdicts_left_out(report) else ()
    for rank in range(-1, len(WORDS)):
        for number, brief in enumerate(report.briefs):
            words = {word for word, _ in brief.words if ranks.get(word, -1) == rank}.difference(left_out)
            if words:
                sheet = report.told(number)
                yield from ((sheet, verdict) for verdict in sheet.verdicts if verdict.word in words)


def _findings_left_out(report: BatchReport) -> str:
    """Return what is said of findings that are left out, "" where all are written."""
    count = sum(count for brief in report.briefs for *_, count in brief.kinds) + len(report.findings)
    return "" if count <= MOST_FINDINGS else (
        f"There are {count} findings, more than a workbook opens with ease. The sheet 'Findings' holds those "
        "that ask for somebody, and not those for information; the counts on 'Jobs' are of all; the .csv and "
        ".json reports have all."
    )


def _verdicts_left_out(report: BatchReport) -> str:
    """Return what is said of verdicts that are left out, "" where all are written."""
    count = sum(count for brief in report.briefs for _, count in brief.words)
    return "" if count <= MOST_VERDICTS else (
        f"There are {count} verdicts, more than a workbook opens with ease. The sheet 'Verdicts' holds "
        "those that ask for somebody; the counts on 'Jobs' are of all; the .csv and .json reports have all."
    )


def _differences_left_out(report: BatchReport) -> str:
    """Return what is said of differences between copies that are left out, "" where all are written."""
    count = sum(1 for copies in report.copies for _ in apart(copies))
    return "" if count <= MOST_DIFFERENCES else (
        f"There are {count} entries in which older copies differ, more than a workbook opens with ease. The "
        "sheet 'Copies' does not hold those that are as issued in the older copy; the .json report has all."
    )


def _verdict(sheet: SheetReport, verdict: Verdict, name: str) -> Row:
    return (
        verdict.word, sheet.job, verdict.place.sheet, verdict.place.cell, verdict.label, verdict.value,
        verdict.lower, verdict.upper, verdict.guard, verdict.unit, verdict.origin, verdict.name, name,
    ), verdict.decimals


def _about(book: Any, notes: Sequence[str], formats: dict[str, Any]) -> None:
    sheet = book.add_worksheet("About")
    sheet.set_column(0, 0, 100)
    sheet.write_string(0, 0, "How to read this", formats["title"])
    lines = [
        "Jobs: one row for each file that was checked, with how many findings and verdicts it has.",
        "Findings: one row for each thing to know or do, what blocks the assembly first. A filter on "
        "'Measured by' gives one phone call.",
        "Verdicts: each judged value with its limits and the expanded uncertainty U of its measurement. "
        "'Too close to call' is nearer to a limit than U; 'check entry' waits for something to be put right.",
        "Copies: one row for each entry in which an older copy of a job is not as the newest; the sheet is "
        "there when some job came back more than once.",
        "All cells are values; text is as it was typed in the returned file, with control characters shown.",
        f"Version {VERSION} of the report's shape.", *notes,
    ]
    for row, line in enumerate(filter(None, lines), 2):
        sheet.write_string(row, 0, line, formats["note"])
    sheet.set_portrait()
    sheet.fit_to_pages(1, 0)
