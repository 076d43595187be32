"""The workbook, read back with another library: strings stay strings, tables can be sifted and printed."""

import io
import zipfile
from dataclasses import replace

import openpyxl
import pytest

from validators.findings import BatchReport, Severity
from validators.reports import as_xlsx as module
from validators.reports.as_xlsx import as_xlsx, told_text

SHEETS = ["Jobs", "Findings", "Verdicts", "About"]


def opened(report):
    return openpyxl.load_workbook(io.BytesIO(as_xlsx(report)))


def rows(sheet):
    head, *body = [[cell.value for cell in row] for row in sheet.iter_rows()]
    return [dict(zip(head, row, strict=True)) for row in body]


def test_hostile_text_is_a_string_in_every_cell(report, hostile):
    """No formula, no link, and cells formatted as text, so that editing one makes no formula either."""
    data = as_xlsx(report(hostile, who=hostile))
    book = openpyxl.load_workbook(io.BytesIO(data))
    found = 0
    for name in SHEETS[:3]:
        for row in book[name].iter_rows(min_row=2):
            for cell in row:
                assert cell.data_type in ("s", "n")
                assert cell.hyperlink is None
                if cell.data_type == "s":
                    assert cell.number_format == "@"
                    assert cell.quotePrefix
                found += cell.value == told_text(hostile)
    assert found >= 10
    with zipfile.ZipFile(io.BytesIO(data)) as parts:
        assert not [n for n in parts.namelist() if "external" in n.lower() or "hyperlink" in n.lower()]
        for name in parts.namelist():
            if name.startswith("xl/worksheets/"):
                assert b"<f>" not in parts.read(name)
                assert b"hyperlink" not in parts.read(name)


def test_what_stands_in_the_tables(sheet, unread):
    """Counts per file, findings with what blocks first, verdicts as numbers."""
    pile = BatchReport(sheets=(
        sheet("J1", "in/a.xlsx", severity=Severity.LOOK, word="within", value=0.004),
        sheet("J2", "in/b.xlsx"),
        unread("in/c.xlsx"),
    ))
    book = opened(pile)
    jobs = rows(book["Jobs"])
    assert [(r["File"], r["Path"], r["Status"], r["Blocks assembly"], r["Over"]) for r in jobs] == [
        ("a.xlsx", "in/a.xlsx", "something to act on", 0, 0),
        ("b.xlsx", "in/b.xlsx", "something to act on", 1, 1),
        ("c.xlsx", "in/c.xlsx", "could not be read", 1, 0),
    ]
    assert [(r["Severity"], r["File"]) for r in rows(book["Findings"])] == [
        ("blocks assembly", "b.xlsx"), ("blocks assembly", "c.xlsx"), ("needs a look", "a.xlsx"),
    ]
    assert [(r["Word"], r["Value"], r["Upper"], r["Lower"]) for r in rows(book["Verdicts"])] == [
        ("over", 0.0242, 0.013, None), ("within", 0.004, 0.013, None),
    ]


def test_the_tables_of_a_very_large_pile_hold_the_same(sheet, unread, monkeypatch):
    """Although they are written row by row, and never held."""
    words = ("within", "over", "a word of another edition")
    kinds = list(zip(Severity, words, strict=True))
    read = (
        sheet(f"J{n}", f"in/{n}.xlsx", severity=kinds[n % 3][0], word=kinds[n % 3][1]) for n in range(7)
    )
    pile = BatchReport(sheets=(*read, unread("in/c.xlsx")))
    held = opened(pile)
    monkeypatch.setattr(module, "MOST_IN_FULL", 3)
    written = opened(pile)
    assert written.sheetnames == held.sheetnames
    for title in held.sheetnames:
        assert list(written[title].values) == list(held[title].values)
    assert [row["Word"] for row in rows(held["Verdicts"])][:3] == [words[2]] * 2 + [words[1]]


def test_heads_stay_filters_sift_and_paper_fits(report):
    """Frozen head, filter over the whole table, head on every page, one page wide, the printer's paper."""
    book = opened(report())
    assert book.sheetnames == SHEETS
    for name in SHEETS[:3]:
        sheet = book[name]
        assert sheet.freeze_panes == "C2"
        assert sheet.auto_filter.ref == f"A1:{sheet.cell(1, sheet.max_column).column_letter}{sheet.max_row}"
        assert sheet.print_title_rows == "$1:$1"
        assert sheet.page_setup.fitToWidth in (None, 1)  # not said is one page
        assert sheet.page_setup.fitToHeight == 0
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert sheet.page_setup.orientation == "landscape"


def test_rows_are_high_enough_for_what_prints(report):
    """A long text gets lines, within reason."""
    short, long = opened(report("x")), opened(report("word " * 60))
    heights = [book["Findings"].row_dimensions[2].height for book in (short, long)]
    assert heights[0] < 20
    assert 60 < heights[1] < 200


def test_too_many_verdicts_are_said_to_be_left_out(sheet, monkeypatch):
    """Those that ask for somebody stay, and the workbook says so."""
    monkeypatch.setattr(module, "MOST_VERDICTS", 3)
    quiet = sheet(word="within", value=0.004)
    pile = BatchReport(sheets=(replace(quiet, verdicts=quiet.verdicts * 3), sheet()))
    book = opened(pile)
    assert [r["Word"] for r in rows(book["Verdicts"])] == ["over"]
    assert any("There are 4 verdicts" in str(cell.value) for cell in book["About"]["A"])
    assert rows(book["Jobs"])[0]["Within"] == 3


def test_too_many_findings_are_said_to_be_left_out(sheet, monkeypatch):
    """Those for information give way; the counts stay, and the workbook says so."""
    monkeypatch.setattr(module, "MOST_FINDINGS", 3)
    calm = sheet(severity=Severity.INFORMATION)
    pile = BatchReport(sheets=(replace(calm, findings=calm.findings * 3), sheet(severity=Severity.LOOK)))
    book = opened(pile)
    assert [row["Severity"] for row in rows(book["Findings"])] == ["needs a look"]
    assert any("There are 4 findings" in str(cell.value) for cell in book["About"]["A"])
    assert [row["For information"] for row in rows(book["Jobs"])] == [3, 0]
    monkeypatch.setattr(module, "MOST_FINDINGS", 4)
    assert len(rows(opened(pile)["Findings"])) == 4


def test_rows_for_which_there_is_no_room_are_counted(sheet, monkeypatch):
    """On the sheet about the workbook, by the name of the sheet that is full."""
    monkeypatch.setattr(module, "MOST_ROWS", 2)
    book = opened(BatchReport(sheets=tuple(sheet(file=f"in/{n}.xlsx") for n in range(5))))
    assert len(rows(book["Jobs"])) == 2
    said = [str(cell.value) for cell in book["About"]["A"]]
    assert "3 more rows of 'Jobs' had no room on the sheet; the .json report has all." in said


@pytest.mark.parametrize("value", [1e300, -0.0, 5e-324])
def test_numbers_are_numbers(report, value):
    """Whatever was typed."""
    assert rows(opened(report(value=value))["Verdicts"])[0]["Value"] == pytest.approx(value)
