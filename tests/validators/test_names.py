"""The list of names: every named cell, its formula in words, and its source."""

import csv
import io
import json

import pytest
from typer.testing import CliRunner

from sheetgen.build import new_build
from sheetgen.plan import plan_workbook
from tests.returned.workbooks import engine
from validators.cli import app
from validators.names.forms import as_csv, as_json, as_text
from validators.names.listing import names
from validators.names.words import in_words

RUN = CliRunner()


@pytest.fixture(scope="module")
def v6():
    return names(layout="V6", units="inch")


def test_every_named_cell_is_there_once(v6):
    """With label, sheet and cell as the plan has them."""
    plan = plan_workbook(new_build("v6", "inch"))
    assert [named.name for named in v6] == [cell.name for cell in plan.cells if cell.name]
    for named in v6:
        cell = plan.by_name[named.name]
        assert (named.sheet, named.cell, named.quantity) == (cell.sheet, cell.address, cell.key)
        assert named.label
        assert named.source, named.name
        assert bool(named.formula) == bool(named.in_words) == (named.direction == "output")


def test_no_name_is_left_in_the_words(v6):
    """Every name of a formula is told by its label, and no guard is left at its head."""
    known = {named.name for named in v6}
    for named in v6:
        bare = named.in_words.replace("«", " ").replace("»", " ").split()
        assert not known.intersection(bare), named.name
        assert not named.in_words.startswith("IF")


def test_sources_are_those_of_the_core_and_of_the_constants(v6):
    """A standard, common practice, or who enters it."""
    told = {named.name: named for named in v6}
    assert told["size_guard_bore"].source.startswith("JCGM 100")
    assert told["piston_clearance_verdict_1"].source.startswith("ISO 14253-1")
    assert told["reference_temperature"].source.startswith("ISO 1")
    assert told["bore_reading_1_top_thrust"].source == "entered by whoever measures"
    assert told["stroke_nominal"].source.startswith("entered by the builder")
    assert told["stroke_nominal"].unit == "in"
    assert r"\frac{V_s + V_c}{V_c}" in told["compression_ratio_1"].equation
    assert told["bore_mean_1"].in_words == (
        "the mean of («Bore at 20 °C, cylinder 1, top to bottom, thrust axis to pin axis»)"
    )


@pytest.mark.parametrize(
    ("formula", "words"),
    [
        ('=IF(COUNT(a_b)=0,"",a_b^2)', "«A_B» ^ 2"),
        ('=IF(OR(a_b="",a_b<1),"",a_b*2)', "blank if («A_B» is blank or «A_B» < 1), otherwise «A_B» × 2"),
        ("=0-IF(a_b>1,1,2)*3", "0 − (1 if «A_B» > 1, otherwise 2) × 3"),
        ("=SQRT(PI()/4)", "the root of (π / 4)"),
        ("=INDEX(a_b,MATCH(c_d,e_f,0))", "number (the place of «C_D» in «E_F») of «A_B»"),
        ("=ROUND(-a_b,9)", "(−«A_B») rounded to 9 decimals"),
        ("=(a_b+1)*2", "(«A_B» + 1) × 2"),
    ],
)
def test_formulas_in_words(formula, words):
    """Guards go, choices stay in brackets inside sums."""
    assert in_words(formula, str.upper) == words


def test_the_three_forms_hold_the_same(v6):
    """JSON and CSV by cell, text by quantity."""
    data = json.loads(as_json(v6))
    assert (data["shape"], len(data["names"])) == ("boreledger names", len(v6))
    rows = list(csv.DictReader(io.StringIO(as_csv(v6))))
    assert [row["name"] for row in rows] == [named.name for named in v6]
    assert not [row for row in rows if row["formula"].startswith("=")]  # a spreadsheet program would run it
    text = as_text(v6)
    assert all(f"    {named.name}   {named.sheet}!{named.cell}   " in text for named in v6)


def test_a_workbook_tells_its_own_names(tmp_path):
    """From its birth record, with the cells where they stand."""
    path = tmp_path / "twin.xlsx"
    path.write_bytes(engine("twin").issued)
    assert [named.name for named in names(path)] == [c.name for c in engine("twin").plan.cells if c.name]
    result = RUN.invoke(app, ["names", str(path), "--only", "bore_mean", "--csv"])
    assert result.exit_code == 0
    rows = csv.DictReader(io.StringIO(result.stdout))
    assert [row["name"] for row in rows] == ["bore_mean_1", "bore_mean_2"]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ([], "--layout"),
        (["--layout", "v9"], "v8"),
        (["--layout", "v8", "--units", "cm"], "millimetre"),
        (["--layout", "v8", "--only", "no_such"], "no_such"),
        (["--layout", "v8", "--json", "--csv"], "not both"),
        (["none.xlsx"], "none.xlsx"),
        (["none.xlsx", "--layout", "v8"], "not both"),
    ],
)
def test_a_wrong_call_is_one_sentence(arguments, words):
    """Status 2, and no traceback."""
    result = RUN.invoke(app, ["names", *arguments])
    assert result.exit_code == 2
    assert words in result.stderr
    assert "Traceback" not in result.output + result.stderr
