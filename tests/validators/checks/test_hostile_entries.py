"""Whatever stands in the cells of a workbook of ours, the check ends in findings and never in a traceback."""

from __future__ import annotations

import random

import pytest

from sheetgen.fill import MAIN, put
from tests.returned.edits import BOOK, edit_names, edit_part, edit_sheet
from validators.findings import Severity
from validators.sheet import check_workbook

TYPED = (
    None, "", " ", "\u00a0", 0.0, -0.0, -1.0, 1e-300, 1e-12, 3.0, 25.4, 45000.0, 1e9, 1e15, 1e300, -1e300,
    1.7976931348623157e308, True, False, "86,012", "86.012 mm", '3.9175"', "nan", "inf", "1e5", "-", "=1+1",
    "#N/A", "TRUE", "p1", "P1 ", "\U0001f600", "\u202eabc", "a\tb\nc", "x" * 32_000, "'", '"', "{}", "%s%n",
    "<b>&amp;</b>", "yes", "size", "deviation", "std", "A", "a",
)
RAW = (
    (None, "nan"), (None, "1e999"), (None, "3,5"), (None, ""), ("n", "0x10"), ("b", "2"), ("b", "1"),
    ("e", "#REF!"), ("e", "#WHAT?"), ("e", ""), ("d", "2031-05-04"), ("d", "soon"), ("str", "86.012"),
    ("s", "99999999"), ("s", "-1"),
)


def scramble(data, plan, seed, share, formulas=False):
    """Put anything into a share of the entry cells, or of the formula cells."""
    chance = random.Random(seed)
    for sheet in plan.sheets:
        title = sheet.template.title
        wanted = {
            cell.address for cell in plan.cells
            if cell.sheet == title and (bool(cell.formula) if formulas else cell.is_input)
        }

        def edit(root, wanted=wanted):
            for cell in root.iter(f"{{{MAIN}}}c"):
                if cell.get("r") in wanted and chance.random() < share:
                    anything(cell, chance)

        data = edit_sheet(data, title, edit)
    return data


def anything(cell, chance):
    """Put a value, or the raw form of one, into a cell."""
    if chance.random() < 0.8:
        put(cell, chance.choice(TYPED))
        return
    kind, content = chance.choice(RAW)
    put(cell, None)
    if kind is not None:
        cell.set("t", kind)
    value = cell.makeelement(f"{{{MAIN}}}v")
    value.text = content
    cell.append(value)


def check_is_sound(report):
    """Whatever was found, it is told in sentences fit for one line, and nothing that is open passes."""
    for finding in report.findings:
        for text in (finding.found, finding.todo, finding.place.label, finding.quantity):
            assert text.isprintable(), finding
        assert finding.found
        assert finding.todo
        assert len(finding.found) < 600, finding
    entries = [finding for finding in report.findings if finding.code.startswith("READ")]
    held = {name for finding in entries for name in finding.holds_up}
    words = {verdict.name: verdict.word for verdict in report.verdicts}
    assert not {name for name in held if words.get(name) == "within"}


@pytest.mark.parametrize("seed", range(3))
def test_any_entries_end_in_findings(three, save, seed):
    """Half of all entries hold anything at all."""
    report = check_workbook(save(scramble(three.filled, three.plan, seed, (0.02, 0.1, 0.5)[seed % 3])))
    assert report.exit_status == 1
    check_is_sound(report)


@pytest.mark.parametrize("seed", range(1))
def test_any_entries_in_inches_end_in_findings(twin, save, seed):
    """The same in a workbook in inches with two banks."""
    report = check_workbook(save(scramble(twin.filled, twin.plan, 100 + seed, 0.2)))
    assert report.exit_status == 1
    check_is_sound(report)


@pytest.mark.parametrize("seed", range(1))
def test_any_formula_cells_end_in_findings(three, save, seed):
    """A share of the formula cells holds anything at all: every one of them is told as typed over."""
    report = check_workbook(save(scramble(three.filled, three.plan, seed, 0.05, formulas=True)))
    assert {"CELL03", "CELL04"} <= {f.code for f in report.findings}
    assert not any(f.code in ("CALC03", "TOOL01") for f in report.findings)
    check_is_sound(report)


@pytest.mark.parametrize("seed", range(2))
def test_any_names_end_in_findings(three, save, seed):
    """Names that point anywhere, nowhere or at each other are told, and block."""
    chance = random.Random(seed)
    titles = [sheet.template.title for sheet in three.plan.sheets]
    anywhere = (
        None, "#REF!", "'Bores'!#REF!", "1", '"text"', "'Nowhere'!$A$1", "'Bores'!$XFD$1048576",
        "'Bores'!$A$0", "Bores!A1", "'Bores'!$B$2:$C$9", "Bores!$B$2,Bores!$C$3", "SUM(1,2)", "",
        "'Bores'!$ZZZ$1", "!!!",
    )

    def edit(name, text):
        if chance.random() > 0.03:
            return text
        if chance.random() < 0.3:
            return f"'{chance.choice(titles)}'!${chance.choice('ABCDEFGH')}${chance.randint(1, 90)}"
        return chance.choice(anywhere)

    report = check_workbook(save(edit_names(three.filled, edit)))
    assert report.exit_status == 1
    told = [f for f in report.findings if f.code in ("CELL05", "CELL10")]
    assert any(f.severity is Severity.BLOCKS for f in told)
    check_is_sound(report)


@pytest.mark.parametrize(
    "title", ["x" * 5000, "a\u202eb<script>", "Bores ", "'\U0001f600"]
)
def test_any_title_ends_in_findings(three, save, title):
    """A sheet of ours may be called anything: it is read through the names, or told as gone."""

    def edit(root):
        next(s for s in root.iter(f"{{{MAIN}}}sheet") if s.get("name") == "Bores").set("name", title)

    report = check_workbook(save(edit_part(three.filled, BOOK, edit)))
    assert "CELL01" in {f.code for f in report.findings}
    check_is_sound(report)
