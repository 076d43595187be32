"""One workbook from copies filled by different hands: what is taken, what is a conflict, what blocks."""

import json

import pytest
from openpyxl import load_workbook
from typer.testing import CliRunner

from sheetgen.errors import DefinitionError
from sheetgen.fill import type_in
from tests.returned.workbooks import engine
from tests.validators.hands import part, three, write_copy
from validators.cli import app
from validators.copies import open_copy
from validators.merge.as_text import as_text
from validators.merge.claims import same_entry
from validators.merge.merging import merge
from validators.sheet import check_workbook

RUN = CliRunner()
CRANK = ("main_journal_reading", "crankpin_reading", "throw_height", "runout", "end_float")


@pytest.fixture
def hands(tmp_path):
    """Write copies by name and entries; returns their paths."""

    def write(**told):
        return [write_copy(tmp_path / f"{name}.xlsx", entries) for name, entries in told.items()]

    return write


def entries_of(path):
    return {name: value for name, value in open_copy(path).values.items() if value is not None}


def conflicts(merged):
    return {conflict.name: conflict for conflict in merged.conflicts}


def test_halves_make_the_whole(hands, tmp_path):
    """One hand measured the crank, the other all else; the result is as sound as one filled by one hand."""
    whole = three()
    at = engine("three").plan.by_name
    gauges = {name: value for name, value in whole.items() if at[name].sheet == "Gauges"}
    paths = hands(a=part(whole, *CRANK) | gauges, b=part(whole, *CRANK, without=True), whole=whole)
    before = [path.read_bytes() for path in paths]
    out = tmp_path / "out.xlsx"
    merged = merge(paths[:2], out)
    assert merged.exit_status == 0
    assert not merged.conflicts
    assert entries_of(out) == entries_of(paths[2])
    report = check_workbook(out)
    assert not [f for f in report.findings if f.severity != "for information"]
    assert [path.read_bytes() for path in paths] == before
    book = load_workbook(out)
    assert all(sheet.protection.sheet for sheet in book.worksheets if sheet.sheet_state == "visible")


def test_a_conflict_is_left_as_issued_and_told(hands, tmp_path):
    """Cell, label, each value and whose file."""
    one = three()
    two = dict(one, piston_reading_1=one["piston_reading_1"] + 0.01, machinist_name="Another Hand")
    merged = merge(hands(a=one, b=two), tmp_path / "out.xlsx")
    assert merged.exit_status == 1
    found = conflicts(merged)
    assert set(found) == {"piston_reading_1", "machinist_name"}
    claims = found["piston_reading_1"].claims
    assert [(claim.file, claim.value) for claim in claims] == [
        ("a.xlsx", one["piston_reading_1"]), ("b.xlsx", two["piston_reading_1"])
    ]
    told = entries_of(tmp_path / "out.xlsx")
    assert "piston_reading_1" not in told
    assert "machinist_name" not in told
    assert told["piston_reading_2"] == one["piston_reading_2"]
    cell = engine("three").plan.by_name["piston_reading_1"]
    text = as_text(merged)
    assert f"{cell.sheet}!{cell.address}  {cell.label}" in text
    assert "in a.xlsx" in text
    assert "in b.xlsx" in text


def test_prefer_settles_and_says_so(hands, tmp_path):
    """The conflict is still listed; a copy that says nothing settles nothing."""
    one = three()
    two = dict(one, piston_reading_1=one["piston_reading_1"] + 0.01)
    silent = part(one, "piston_reading", without=True)
    paths = hands(a=one, b=two, c=silent)
    merged = merge(paths, tmp_path / "out.xlsx", prefer=paths[1])
    assert merged.exit_status == 0
    assert conflicts(merged)["piston_reading_1"].settled == "b.xlsx is preferred"
    assert entries_of(tmp_path / "out.xlsx")["piston_reading_1"] == two["piston_reading_1"]
    assert "b.xlsx is preferred" in as_text(merged)
    assert merge(paths, tmp_path / "other.xlsx", prefer=paths[2]).exit_status == 1


def test_notes_are_joined_only_on_demand(hands, tmp_path):
    """Free text that differs, one after the other; numbers never."""
    one = dict(three(), machinist_name="Ada", piston_reading_1=80.0)
    two = dict(one, machinist_name="Ben", piston_reading_1=80.1)
    paths = hands(a=one, b=two)
    merged = merge(paths, tmp_path / "out.xlsx", join_notes=True)
    assert entries_of(tmp_path / "out.xlsx")["machinist_name"] == "Ada / Ben"
    assert [conflict.name for conflict in merged.open] == ["piston_reading_1"]


def test_a_gauge_left_as_issued_speaks_for_the_readings_made_with_it(hands, tmp_path):
    """One hand types deviations, the other sizes: neither form may be laid over the other's readings."""
    whole = three()
    bores = part(whole, "bore_reading")
    one = {name: value for name, value in bores.items() if name.startswith("bore_reading_1")}
    two = {name: value for name, value in bores.items() if not name.startswith("bore_reading_1")}
    paths = hands(
        a=dict(one, entry_form_bore="deviation", setting_size_bore=86.0), b=two, c=part(whole, "pin_reading")
    )
    merged = merge(paths, tmp_path / "out.xlsx")
    claims = conflicts(merged)["entry_form_bore"].claims
    assert [(claim.file, claim.told, claim.as_issued) for claim in claims] == [
        ("a.xlsx", "deviation", False), ("b.xlsx", "size", True)
    ]
    alone = merge([paths[0], paths[2]], tmp_path / "alone.xlsx")
    assert "entry_form_bore" not in conflicts(alone)  # the other copy has no bore of its own
    assert entries_of(tmp_path / "alone.xlsx")["entry_form_bore"] == "deviation"


@pytest.mark.parametrize("typed", ["86,01", "86.01 mm"])
def test_what_is_no_value_is_never_dropped_silently(hands, tmp_path, typed):
    """Only one copy has something there, and it cannot be taken."""
    whole = three()
    one = dict(part(whole, "bore_reading"), bore_reading_1_top_thrust=typed)
    merged = merge(hands(a=one, b=part(whole, "pin_reading")), tmp_path / "out.xlsx")
    conflict = conflicts(merged)["bore_reading_1_top_thrust"]
    assert merged.exit_status == 1
    assert conflict.claims[0].fault
    assert conflict.claims[0].told == typed
    assert "bore_reading_1_top_thrust" not in entries_of(tmp_path / "out.xlsx")


def test_a_given_value_that_one_hand_cleared_is_a_conflict(hands, tmp_path):
    """It stays as issued; a changed one is taken and told."""
    whole = three()
    given = dict(whole, stroke_nominal=None, engine_speed=4321)
    merged = merge(hands(a=given, b=whole), tmp_path / "out.xlsx")
    told = entries_of(tmp_path / "out.xlsx")
    issued = {cell.name: cell.value for cell in engine("three").plan.cells if cell.is_input}
    assert set(conflicts(merged)) == {"stroke_nominal"}
    assert told["stroke_nominal"] == issued["stroke_nominal"]
    assert told["engine_speed"] == 4321
    assert [item.name for item in merged.changed] == ["engine_speed"]


def test_a_damaged_copy_blocks_and_nothing_is_written(hands, tmp_path):
    """A formula typed over: what was typed there would be lost."""
    paths = hands(a=three(), b=three())
    cell = engine("three").plan.by_name["piston_clearance_1"]
    paths[1].write_bytes(type_in(paths[1].read_bytes(), {(cell.sheet, cell.address): 0.05}))
    out = tmp_path / "out.xlsx"
    result = RUN.invoke(app, ["merge", *map(str, paths), "-o", str(out)])
    assert result.exit_code == 2
    assert "CELL03" in result.stdout
    assert "b.xlsx" in result.stdout
    assert not out.exists()


def test_bad_calls_are_sentences(hands, tmp_path):
    """An existing file, one copy, another plan, a preferred file that is not merged."""
    paths = hands(a=three(), b=three())
    twin = tmp_path / "twin.xlsx"
    twin.write_bytes(engine("twin").filled)
    there = tmp_path / "there.xlsx"
    there.write_bytes(b"mine")
    out = tmp_path / "out.xlsx"
    for arguments, words in (
        ([*paths, "-o", there], "not overwritten"),
        ([*paths, "-o", paths[0]], "not overwritten"),
        ([paths[0], "-o", out], "at least two"),
        ([paths[0], paths[0], "-o", out], "named twice"),
        ([paths[0], twin, "-o", out], "twin.xlsx"),
        ([*paths, "-o", out, "--prefer", twin], "--prefer"),
        ([*paths, "-o", tmp_path / "out.ods"], ".xlsx"),
        ([paths[0], tmp_path / "none.xlsx", "-o", out], "none.xlsx"),
    ):
        result = RUN.invoke(app, ["merge", *map(str, arguments)])
        assert result.exit_code == 2, arguments
        assert words in result.stderr
        assert "Traceback" not in result.output + result.stderr
    assert there.read_bytes() == b"mine"
    assert not out.exists()


def test_the_report_as_json(hands, tmp_path):
    """Conflicts with every claim."""
    one = three()
    paths = hands(a=one, b=dict(one, pin_reading_1=one["pin_reading_1"] + 0.001))
    result = RUN.invoke(app, ["merge", *map(str, paths), "-o", str(tmp_path / "out.xlsx"), "--json"])
    data = json.loads(result.stdout)
    assert (data["shape"], result.exit_code) == ("boreledger merge", 1)
    assert [c["name"] for c in data["conflicts"]] == ["pin_reading_1"]
    assert [claim["file"] for claim in data["conflicts"][0]["claims"]] == ["a.xlsx", "b.xlsx"]


def test_a_refused_merge_raises_what_the_command_says(tmp_path):
    """The function and the command speak alike."""
    with pytest.raises(DefinitionError, match="at least two"):
        merge([tmp_path / "a.xlsx"], tmp_path / "out.xlsx")


def test_capitals_count_in_notes_only():
    """Marks and words are the same in any case."""
    assert same_entry("P1", " p1", "mark")
    assert not same_entry("Ada", "ada", "note")
    assert not same_entry(None, 0.0)
