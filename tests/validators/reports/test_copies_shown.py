"""Copies of a job, and what else came, in the page and in the workbook."""

import io
import tempfile
from dataclasses import replace

import openpyxl
import pytest

from validators.findings import BatchReport, Copies, Difference, Finding, Place, Severity
from validators.reports import as_xlsx as workbook_report
from validators.reports.as_html import as_html
from validators.reports.as_xlsx import as_xlsx
from validators.reports.copies_shown import MOST_FILES, MOST_ROWS, groups_of

NEWEST, OLDER = "in/v2.xlsx", "in/v1.xlsx"


def difference(number, issued, *values, text=""):
    place = Place(file=NEWEST, sheet=text or "Bores", cell=f"D{number}", label=text or f"Bore {number}")
    return Difference(name=f"bore_reading_{number}", place=place, issued=issued, values=values)


def said(code, file, severity, todo, text=""):
    return Finding(
        code=code, name={"PILE01": "passed-over", "PILE02": "copies-differ", "PILE03": "same-copy"}[code],
        severity=severity, place=Place(file=file), found=text or "as found", expected="one copy", todo=todo,
    )


@pytest.fixture
def pile(sheet):
    """Return two copies of a job with one reading that differs and one filled later, and a letter."""
    def make(text="J1"):
        copies = Copies(
            job=text, files=(NEWEST, OLDER), times=("2031-03-06T08:30:00+00:00", ""),
            told_by="time of the file",
            differences=(difference(1, None, 86.0, 86.012, text=text), difference(2, None, 86.003, None)),
        )
        calm = sheet("J1", OLDER, who="shop", severity=Severity.INFORMATION)
        return BatchReport(
            sheets=(calm, replace(calm, file=NEWEST, digest="b")), copies=(copies,),
            findings=(
                said("PILE02", OLDER, Severity.LOOK, "Ask which holds.", text),
                said("PILE01", "in/scan.jpg", Severity.LOOK, "Type it in.", text),
                said("PILE03", NEWEST, Severity.INFORMATION, "Keep one.", text),
            ),
        )
    return make


def test_what_differs_comes_apart_from_what_was_only_filled(pile):
    """A reading that two hands give differently is listed; one that the newest alone has is counted."""
    (group,) = groups_of(pile())
    assert [row.place.cell for row in group.rows] == ["D1"]
    assert group.rows[0].values == (("86.000", False), ("86.012", True))
    assert group.only_filled == 1
    assert [[anchor for anchor, _ in copy.findings] for copy in group.files] == [[], ["pile-1"]]


def test_many_copies_and_entries_are_cut_with_a_count(pile):
    """Nothing is left out in silence."""
    report = pile()
    files = tuple(f"{n}.xlsx" for n in range(MOST_FILES + 3))
    differences = tuple(difference(n, None, *map(float, range(len(files)))) for n in range(MOST_ROWS + 5))
    many = replace(report.copies[0], files=files, times=("",) * len(files), differences=differences)
    (group,) = groups_of(replace(report, copies=(many,)))
    assert (len(group.files), group.more_files, len(group.rows), group.more_rows) == (6, 3, MOST_ROWS, 5)
    assert all(len(row.values) == MOST_FILES for row in group.rows)
    page = as_html(replace(report, copies=(many,)))
    assert "3 more copies are in" in page
    assert "and 5 more entries that differ" in page


def test_what_is_said_of_a_copy_stands_on_the_page_however_many_there_are(pile):
    """Beside the other copies, or with what else came; a link to it leads there."""
    report = pile()
    files = tuple(f"in/v{n}.xlsx" for n in range(MOST_FILES + 3))
    many = replace(report.copies[0], files=files, times=("",) * len(files), differences=())
    told = tuple(said("PILE02", file, Severity.LOOK, "Ask which holds.") for file in files[1:])
    sheets = tuple(replace(report.sheets[0], file=file, digest=file) for file in files)
    page = as_html(BatchReport(sheets=sheets, copies=(many,), findings=told))
    for number in range(1, len(told) + 1):
        assert page.count(f'id="pile-{number}"') == 1
        assert f'href="#pile-{number}"' in page


def test_the_page_shows_copies_and_what_else_came(pile):
    """The newest first, the older entry in bold, the call leads to it, and nobody's letter is not lost."""
    page = as_html(pile())
    assert "Job J1: 2 copies" in page
    assert page.index(">v2.xlsx") < page.index(">scan.jpg")
    assert "<b>86.012</b>" in page
    assert "1 entry is filled in the newest" in page
    assert 'href="#pile-1"' in page
    assert 'id="pile-1"' in page
    assert 'id="pile-2"' in page
    assert "1 more thing that came along asks for a look" in page
    assert "the newest of 2 copies" in page
    assert "an older copy" in page
    assert "<b>2</b> need a look" in page


def test_a_pile_without_copies_has_no_such_part(report):
    """One file says nothing of copies."""
    assert 'id="came"' not in as_html(report())


def test_text_of_a_copy_is_text(pile, hostile):
    """Job number, label and sheet of a stranger's stay words on the page and strings in the workbook."""
    tags = [as_html(pile(text)).count("<") for text in ("plain", hostile)]
    assert tags[0] == tags[1]
    book = openpyxl.load_workbook(io.BytesIO(as_xlsx(pile(hostile))))
    for row in book["Copies"].iter_rows(min_row=2):
        assert {cell.data_type for cell in row} <= {"s", "n"}
        assert {cell.hyperlink for cell in row} == {None}


def test_the_workbook_lists_what_differs_and_what_else_came(pile, report):
    """A row for each entry of each older copy; the findings of the pile stand with their file's job."""
    book = openpyxl.load_workbook(io.BytesIO(as_xlsx(pile())))
    head, *rows = [[cell.value for cell in row] for row in book["Copies"].iter_rows()]
    told = [dict(zip(head, row, strict=True)) for row in rows]
    assert [(r["Cell"], r["In the newest"], r["In the older copy"], r["Older copy"]) for r in told] == [
        ("D1", "86", "86.012", "v1.xlsx"), ("D2", "86.003", "blank", "v1.xlsx"),
    ]
    head, *rows = [[cell.value for cell in row] for row in book["Findings"].iter_rows()]
    of_pile = [r for r in (dict(zip(head, row, strict=True)) for row in rows) if r["About"] == "pile"]
    assert [(r["Code"], r["Job"], r["File"]) for r in of_pile] == [
        ("PILE02", "J1", "v1.xlsx"), ("PILE01", "", "scan.jpg"), ("PILE03", "J1", "v2.xlsx"),
    ]
    assert "Copies" not in openpyxl.load_workbook(io.BytesIO(as_xlsx(report()))).sheetnames


def test_too_many_differences_are_said_to_be_left_out(pile, monkeypatch):
    """What an older copy has as it was issued gives way to what somebody typed."""
    monkeypatch.setattr(workbook_report, "MOST_DIFFERENCES", 1)
    book = openpyxl.load_workbook(io.BytesIO(as_xlsx(pile())))
    assert [row[2].value for row in book["Copies"].iter_rows(min_row=2)] == ["D1"]
    assert any("There are 2 entries" in str(cell.value) for cell in book["About"]["A"])


def test_a_large_pile_is_the_same_workbook(pile, monkeypatch, tmp_path):
    """Its rows are put together on disk, of which nothing is left."""
    def cells():
        book = openpyxl.load_workbook(io.BytesIO(as_xlsx(pile())))
        return {sheet.title: [[c.value for c in row] for row in sheet.iter_rows()] for sheet in book}

    small = cells()
    monkeypatch.setattr(workbook_report, "MOST_IN_FULL", 1)
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    assert cells() == small
    assert list(tmp_path.iterdir()) == []


def test_the_same_file_twice_is_called_for_once(sheet):
    """Of files that are the same byte for byte the second is named beside the first."""
    one, two = (replace(sheet("J1", file, who="shop"), digest="d") for file in ("a.xlsx", "b.xlsx"))
    page = as_html(BatchReport(sheets=(one, two)))
    assert "the same byte for byte, b.xlsx" in page
    assert page.count('<div class="concern">') == 1
