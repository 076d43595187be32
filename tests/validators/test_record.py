"""The printable record: every verdict, who measured with what, what holds it, and three sheets of paper."""

import re
import shutil
import subprocess
from dataclasses import replace
from datetime import date
from html import unescape

import pytest
from typer.testing import CliRunner

from sheetgen.build import new_build
from sheetgen.errors import DefinitionError
from sheetgen.fill import fill_workbook, type_in
from sheetgen.plan import plan_workbook
from sheetgen.workbook import workbook_bytes
from tests.returned.workbooks import engine
from tests.validators.hands import three, write_copy
from validators.cli import app
from validators.random_builds import mood_of, random_entries
from validators.record import as_pdf
from validators.record.as_html import MARKS, SHORT, as_html
from validators.record.figures import figure
from validators.record.recording import RELEASED, record
from validators.sheet import check_workbook

RUN = CliRunner()


@pytest.fixture(scope="module")
def clean(tmp_path_factory):
    path = write_copy(tmp_path_factory.mktemp("record") / "clean.xlsx", three())
    return path, record(path)


def text_of(html):
    return unescape(re.sub(r"<[^>]+>", " ", html))


def test_every_verdict_is_on_the_page_with_value_limits_and_origin(clean):
    """As many values as check has verdicts, word by word."""
    path, told = clean
    verdicts = check_workbook(path).verdicts
    judged = [value for _, rows in told.checks for row in rows for value in row.values]
    assert len(judged) == len(verdicts)
    assert sorted(value.word for value in judged) == sorted(verdict.word for verdict in verdicts)
    rows = {row.label: row for _, rows in told.checks for row in rows}
    clearance = next(v for v in verdicts if v.name == "piston_clearance_2")
    row = rows["Clearance, cold, mm"]
    assert row.values[1].value == f"{clearance.value:.3f}"
    assert row.limits == f"{clearance.lower:.3f} to {clearance.upper:.3f}"
    assert (row.origin, row.each) == (clearance.origin, "cylinder")
    assert float(row.guard) == pytest.approx(clearance.guard, abs=5e-5)


def test_a_clean_copy_is_held_by_nothing(clean):
    """And says who measured with what, which parts are fitted, and what to mind."""
    _, told = clean
    assert (told.state, told.holds, told.exit_status) == (RELEASED, (), 0)
    text = text_of(as_html(told))
    entries = three()
    for needle in (
        entries["machinist_name"], entries["piston_mark_2"], "No measurement holds the assembly",
        "Decided by", "Date", "Wear eye protection", "SHA-256", told.digest,
    ):
        assert needle in text, needle
    labels = [row[0] for row in told.gauges]
    assert labels == list(engine("three").plan.catalogue.axes["feature"].elements.values())
    assert {axis for _, axis, _ in told.fitted} == {"cylinder", "main bearing", "bank"}


def test_what_was_weighed_fitted_and_signed_is_on_the_page(tmp_path):
    """Masses part by part, where the ring gaps stand, and every step with name and day."""
    plan = engine("three").plan
    steps = [cell.name for cell in plan.by_key["step_by"]]
    day = plan.by_key["step_date"][0].name
    entries = dict(three(), **{steps[0]: "A. Builder", day: date(2031, 5, 2)})
    told = record(write_copy(tmp_path / "signed.xlsx", entries))
    assert told.steps[0].title.split() == ["1", "Clean", "and", "lay", "out"]
    assert (told.steps[0].state, told.steps[0].by, told.steps[1].by) == ("done", "A. Builder", "")
    assert told.steps[0].date == "2 May 2031"
    assert len(told.steps) == len(steps)
    weighed = {label: values for label, _, values in told.masses}
    for label, key in (("Piston, g", "piston_mass"), ("Rod, big end, g", "rod_big_mass")):
        assert weighed[label] == tuple(f"{entries[cell.name]:.1f}" for cell in plan.by_key[key])
    page = text_of(as_html(told))
    for needle in ("A. Builder", "Ring gaps stand at: top ring", "Masses, g", "Assembly, step by step"):
        assert needle in page, needle
    unsigned = text_of(as_html(replace(told, steps=tuple(replace(step, by="") for step in told.steps))))
    assert f"No step is signed; of {len(steps)} steps" in unsigned


def test_a_word_that_goes_for_all_is_said_once_and_a_bad_one_at_its_value(clean):
    """A row that is within everywhere has one word; where one value is out, every value has its own."""
    _, told = clean
    title, rows = next((title, rows) for title, rows in told.checks if title == "Pistons and pins")
    good = next(row for row in rows if row.label.startswith("Clearance, cold"))
    assert good.shared_word == "within"
    bad = replace(good, values=(replace(good.values[0], word="over"), *good.values[1:]))
    assert bad.shared_word == ""
    count = len(good.values)
    for row, words in ((good, 1), (bad, count - 1)):
        page = as_html(replace(told, checks=((title, (row,)),)))
        assert page.partition("Fitted parts")[0].count(">within<") == words
    assert MARKS["over"] in page


def test_bolts_go_on_in_a_new_line_with_their_places(clean):
    """Twice as many bolts as cylinders do not turn the paper; each value says which bolt it is of."""
    _, told = clean
    row = next(row for _, rows in told.checks for row in rows if row.many)
    longer = replace(row, values=row.values * 5)
    page = as_html(replace(told, checks=(*told.checks, ("Fasteners", (longer,)))))
    assert "@page { size: A4;" in page
    assert all(f"<small>{judged.place}" in page for judged in row.values)


def test_what_holds_it_is_said_place_by_place(tmp_path):
    """Out of limits, a mark twice, an entry missing, and a fault of the sheet each hold it."""
    entries = dict(three(), machinist_name=None)
    entries["piston_reading_2"] -= 0.05
    entries["rod_mark_3"] = entries["rod_mark_1"]
    path = write_copy(tmp_path / "held.xlsx", entries)
    cell = engine("three").plan.by_name["piston_clearance_1"]
    path.write_bytes(type_in(path.read_bytes(), {(cell.sheet, cell.address): 0.05}))
    told = record(path)
    assert (told.state, told.exit_status) == ("held", 1)
    assert "Clearance, cold (Pistons and pins): over at cylinder 2" in told.holds
    for part in ("1 entries still missing", "marks missing", "CELL03"):
        assert any(part in reason for reason in told.holds), part
    page = as_html(told)
    assert MARKS["over"] in page
    assert "No measurement holds" not in page


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        ({"fitted_rod_1": "R2"}, "1 bores with another part than was measured for them"),
        ({"piston_front_1": "turned round"}, "1 points of rings, pins and retainers that are not passed"),
        ({"retainer_count_2": None}, "1 points of rings, pins and retainers that are not passed"),
        ({"rod_mark_3": "R1"}, "2 marks missing, doubled or in another bore"),
    ],
)
def test_what_no_verdict_tells_is_named_as_well(tmp_path, change, reason):
    told = record(write_copy(tmp_path / "held.xlsx", {**three(), **change}))
    assert told.state == "held"
    assert reason in told.holds


def test_a_fault_of_the_sheet_alone_holds_it(tmp_path):
    """All measured and within, but a formula was typed over: the page must not say that nothing holds it."""
    path = write_copy(tmp_path / "over.xlsx", three())
    cell = engine("three").plan.by_name["piston_clearance_1"]
    path.write_bytes(type_in(path.read_bytes(), {(cell.sheet, cell.address): 0.05}))
    told = record(path)
    assert told.state == "held"
    assert [reason for reason in told.holds if "CELL03" in reason] == list(told.holds)


def test_text_from_strangers_is_text(tmp_path):
    """No tag, no attribute, no control character of theirs reaches the page."""
    nasty = '"><script>alert(1)</script><img src=x onerror=alert(2)>\u202e'
    entries = dict(three(), machinist_name=nasty, piston_mark_1="<b>P1</b>", job_note="x" * 5000)
    for name in list(engine("three").plan.by_name):
        if name.startswith("gauge_name"):
            entries[name] = nasty
    page = as_html(record(write_copy(tmp_path / "nasty.xlsx", entries)))
    for never in ("<script", "<img", "<b>P1", "\u202e"):
        assert never not in page
    assert "&lt;script&gt;" in page
    assert "x" * 601 not in page
    assert "longer in the workbook" in page
    assert not re.search(r"(?:src|href)=", re.sub(r"&lt;.*?&gt;", "", page))


@pytest.fixture(scope="module")
def full_v8(tmp_path_factory):
    """A V8 with everything measured, and little of it within its limits: the longest record there is."""
    plan = plan_workbook(new_build("v8", "inch"))
    seed = next(seed for seed in range(100) if mood_of(seed).tidy)
    entries = random_entries(plan, seed)
    entries.update({name: "bore gauge no. 12" for name in plan.by_name if name.startswith("gauge_name")})
    path = tmp_path_factory.mktemp("v8") / "v8.xlsx"
    issued = workbook_bytes(plan, stored_values=False)
    path.write_bytes(fill_workbook(issued, plan, entries, recalculate=False))
    return path


@pytest.mark.skipif(
    not (shutil.which("pdfinfo") and any(map(shutil.which, as_pdf.BROWSERS))), reason="no browser, no pdfinfo"
)
@pytest.mark.parametrize(("paper", "width"), [("a4", 594), ("letter", 612)])
def test_a_v8_takes_three_sheets_of_paper_at_most(full_v8, tmp_path, paper, width):
    """On A4 and on letter; the PDF is as wide as the paper."""
    out = tmp_path / "v8.pdf"
    result = RUN.invoke(app, ["record", str(full_v8), "--out", str(out), "--paper", paper])
    assert result.exit_code == 1, result.stderr
    told = subprocess.run(["pdfinfo", str(out)], capture_output=True, text=True, check=True).stdout
    assert int(re.search(r"Pages:\s+(\d+)", told)[1]) <= 3
    assert float(re.search(r"Page size:\s+([\d.]+)", told)[1]) == pytest.approx(width, abs=2)


def test_more_than_eight_in_a_row_lie_on_their_side(full_v8, clean):
    """A V8 and less stand upright."""
    told = record(full_v8)
    assert "@page { size: letter;" in as_html(told)
    title, rows = next((title, rows) for title, rows in told.checks if title == "Bores")
    longer = tuple(replace(row, values=row.values + row.values[:1]) for row in rows)
    assert "@page { size: letter landscape;" in as_html(replace(told, checks=((title, longer),)))
    assert "@page { size: A4;" in as_html(clean[1])


def test_without_a_program_that_prints_a_sentence_says_how(monkeypatch, clean, tmp_path):
    """Nothing is written, and the status is 2."""
    monkeypatch.setattr(as_pdf, "BROWSERS", ())
    monkeypatch.setattr(as_pdf, "OFFICES", ())
    with pytest.raises(DefinitionError, match="open it in a browser"):
        as_pdf.as_pdf("<p>")
    out = tmp_path / "clean.pdf"
    result = RUN.invoke(app, ["record", str(clean[0]), "--out", str(out)])
    assert result.exit_code == 2
    assert "print it from there" in result.stderr
    assert not out.exists()


def test_a_program_that_fails_is_said(monkeypatch):
    """One that makes no PDF is no success."""
    monkeypatch.setattr(as_pdf, "BROWSERS", ("true",))
    monkeypatch.setattr(as_pdf, "OFFICES", ())
    with pytest.raises(DefinitionError, match="true made none"):
        as_pdf.as_pdf("<p>")


def test_the_command_writes_beside_the_workbook_and_overwrites_nothing(clean, tmp_path):
    """A sentence for each wrong call."""
    path = tmp_path / "job.xlsx"
    path.write_bytes(clean[0].read_bytes())
    result = RUN.invoke(app, ["record", str(path)])
    assert result.exit_code == 0, result.stderr
    page = tmp_path / "job record.html"
    assert page.read_text("utf-8").startswith("<!DOCTYPE html>")
    for arguments, words in (
        ([path], "not overwritten"),
        ([path, "--out", tmp_path / "x.docx"], ".html or .pdf"),
        ([path, "--paper", "a5"], "a4, letter"),
        ([tmp_path / "none.xlsx"], "none.xlsx"),
        ([page], "job record.html"),
    ):
        result = RUN.invoke(app, ["record", *map(str, arguments)])
        assert result.exit_code == 2, arguments
        assert words in result.stderr
        assert "Traceback" not in result.output + result.stderr


def test_an_empty_workbook_has_a_record_that_holds_it(tmp_path):
    """Nothing measured is not nothing to say."""
    path = tmp_path / "issued.xlsx"
    path.write_bytes(engine("twin").issued)
    told = record(path)
    assert told.state == "held"
    assert any("not measured" in reason for reason in told.holds)
    assert "not measured" in text_of(as_html(told))


@pytest.mark.parametrize(
    ("value", "places", "text"),
    [
        (0.0664, 3, "0.066"), (-0.25, 2, "−0.25"), (7e-5, 4, "0.00007"), (-4e-4, 3, "−0.0004"),
        (5.6e-17, 3, "0.000"), (0.0, 3, "0.000"), (1234.6, 0, "1235"),
    ],
)
def test_figures_never_round_to_a_nothing_that_they_are_not(value, places, text):
    """A small figure shows its first digit; noise is zero."""
    assert figure(value, places) == text


def test_every_word_fits_its_mark():
    """Whatever is no pass and no blank is set in bold, by mark or by word."""
    words = set(engine("three").plan.catalogue.words["verdict"])
    assert set(MARKS) - {"check entry"} <= words
    assert set(SHORT) <= words
    assert "within" not in MARKS
