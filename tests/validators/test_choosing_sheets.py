"""Choices for whole workbooks: the sheet's own proposals, the copy, what is measured again, bad input."""

import datetime
import json
import random
import shutil

import pytest
from typer.testing import CliRunner

from sheetgen.build import new_build, read_build
from sheetgen.errors import DefinitionError
from sheetgen.fill import fill_workbook
from sheetgen.plan import plan_workbook
from sheetgen.workbook import workbook_bytes
from validators.choosing.choice_json import choice_data
from validators.choosing.choice_text import choice_text
from validators.choosing.choose import choose, choose_for
from validators.choosing.entered import entered
from validators.choosing.stock_lists import read_masses, read_offers, read_stock
from validators.cli import app
from validators.demo import COPIES, copy_entries, demo_plan
from validators.random_builds import random_entries
from validators.sheet import read_sheet

CLEAN, PARTS_OUT, FAULTS = COPIES
HALVES = ("upper", "lower")


@pytest.fixture(scope="module")
def plan():
    return demo_plan()


@pytest.fixture(scope="module")
def issued(plan):
    return workbook_bytes(plan, stored_values=False)


@pytest.fixture(scope="module")
def make(plan, issued, tmp_path_factory):
    """Return what writes a copy of the demo with some entries changed."""
    folder = tmp_path_factory.mktemp("choose")

    def written(copy, **changes):
        path = folder / f"{len(list(folder.iterdir()))}.xlsx"
        path.write_bytes(fill_workbook(issued, plan, copy_entries(plan, copy) | changes))
        return path

    return written


@pytest.fixture(scope="module")
def parts_out(make):
    return make(PARTS_OUT)


def answer_of(choice, topic):
    return next(answer for answer in choice.answers if answer.topic == topic)


def run(*arguments):
    return CliRunner().invoke(app, ["choose", *map(str, arguments)])


def test_the_odd_shell_of_the_demo_is_found(parts_out):
    choice = choose(parts_out)
    answer = answer_of(choice, "main bearing shells")
    odd = [(row["number"], row["upper"], row["lower"]) for row in answer.rows if row["odd"]]
    assert odd == [(3, "standard", "thick")]
    assert [row["number"] for row in answer.rows if row["change"]] == [3]
    assert choice.changes["main_shell_lower_3"] == "thick"
    assert "main_shell_upper_3" not in choice.changes
    assert choice.exit_status == 1
    assert answer.order == (
        "standard: 7 upper and 6 lower, of which 0 upper and 0 lower are not where they belong yet",
        "thick: 0 upper and 1 lower, of which 0 upper and 1 lower are not where they belong yet",
    )


def test_a_grade_that_is_spelt_with_capitals_is_the_same_grade(make):
    answer = answer_of(choose(make(PARTS_OUT, main_shell_upper_1="Standard")), "main bearing shells")
    assert [row["number"] for row in answer.rows if row["change"]] == [3]
    assert answer.order[0].endswith("0 upper and 0 lower are not where they belong yet")
    assert next(reached.now for reached in answer.reached if reached.aim == "odd pairs") == 0.0


def test_the_same_input_gives_the_same_answer(parts_out):
    first, second = choice_data(choose(parts_out)), choice_data(choose(parts_out))
    assert json.dumps(first) == json.dumps(second)


def test_of_pairs_equally_near_sheet_and_command_take_equal_halves_and_keep_the_limits(make):
    """Wanted midway between two standard halves and an odd pair; then a limit shuts out the equal ones."""
    walls = {f"main_grade_wall_{n}": wall for n, wall in ((1, 2.447), (2, 2.450), (3, 2.453))}
    with_standard = read_sheet(make(CLEAN, **walls)).reference["main_clearance_computed_1"]
    wanted = {"main_clearance_target": with_standard + 0.0015}
    cases = (None, with_standard, False), (with_standard + 0.001, with_standard + 0.003, True)
    for limit, made, odd in cases:
        sheet = read_sheet(make(CLEAN, **walls, **wanted, main_clearance_lower=limit))
        row = answer_of(choose_for(sheet), "main bearing shells").rows[0]
        assert row["clearance"] == pytest.approx(made, abs=2e-9)
        assert row["odd"] == odd
        for computed in (sheet.reference, sheet.recalculated):
            assert row["clearance"] == pytest.approx(computed["main_pick_clearance_1"], abs=2e-9)
            assert [row[half] for half in HALVES] == [computed[f"main_pick_{half}_1"] for half in HALVES]
            assert computed["main_pick_fit_1"] == "within the limits"


@pytest.mark.parametrize(("layout", "family"), [("inline-3", "millimetre"), ("v8", "inch")])
def test_sheet_and_command_agree_at_every_bearing_and_bore(layout, family, tmp_path):
    plan = plan_workbook(new_build(layout, family))
    data = workbook_bytes(plan, stored_values=False)
    compared = 0
    for seed in (0, 8, 2, 11):
        entries = {
            name: datetime.date(2031, 4, 17)
            if plan.catalogue.entries[plan.by_name[name].key].text == "date" and value is not None else value
            for name, value in random_entries(plan, seed).items()
        }
        path = tmp_path / f"{seed}.xlsx"
        path.write_bytes(fill_workbook(data, plan, entries, recalculate=False))
        sheet = read_sheet(path)
        choice = choose_for(sheet, leave_rods=True)
        for kind in ("main", "rod"):
            for row in answer_of(choice, f"{kind} bearing shells").rows:
                n = row["number"]
                for shown in (sheet.reference, sheet.recalculated):
                    assert row["clearance"] == pytest.approx(shown[f"{kind}_pick_clearance_{n}"], abs=2e-9)
                for half in ("upper", "lower"):
                    assert row[half].casefold() == _mark(sheet.reference[f"{kind}_pick_{half}_{n}"])
                compared += 1
            order = [0.0] * 2
            for number in range(1, plan.build.layout.shell_grades + 1):
                for place, half in enumerate(("upper", "lower")):
                    shells = sheet.recalculated[f"{kind}_order_{half}_{number}"]
                    order[place] += shells if isinstance(shells, float) else 0.0
            rows = answer_of(choice, f"{kind} bearing shells").rows
            names = [sheet.values.get(f"{kind}_grade_name_{n}") for n in (1, 2, 3)]
            if rows and len({_mark(name) for name in names if name is not None}) == 3:
                assert order == [len(rows)] * 2
        rows = answer_of(choice, "pistons to bores").rows
        shown = [sheet.reference[cell.name] for cell in plan.by_key["pairing_deviation"]]
        if rows and "" not in shown:  # between equal bores the sheet goes by number, the command moves fewest
            assert sorted(row["away"] for row in rows) == pytest.approx(sorted(map(abs, shown)), abs=2e-9)
            compared += len(rows)
    assert compared > 20


def _mark(value):
    return f"{value:.15g}" if isinstance(value, float) else value.casefold()


def test_the_gasket_is_the_one_that_the_sheet_names_when_the_ratio_allows_it(make):
    for copy in (CLEAN, PARTS_OUT):
        sheet = read_sheet(make(copy))
        row = answer_of(choose_for(sheet), "gasket").rows[0]
        assert row["thickness"] == pytest.approx(sheet.reference["gasket_pick_1"])


def test_a_thicker_gasket_is_taken_where_the_thinnest_puts_the_ratio_out(make):
    path = make(CLEAN, compression_ratio_upper=9.70)
    answer = answer_of(choose(path), "gasket")
    assert answer.rows[0]["thickness"] == pytest.approx(0.9)
    assert any("0.7" in text and "ratio" in text for text in answer.limits)


def test_no_gasket_that_clears_is_said_with_what_would(make):
    path = make(CLEAN, head_clearance_static_lower=1.75)
    answer = answer_of(choose(path), "gasket")
    assert answer.state == "not possible"
    told = " ".join(answer.shortfall)
    thickness = float(told.split("at least ")[1].split()[0])
    assert 1.3 < thickness < 1.5
    thicker = round(thickness + 0.001, 3)
    path = make(CLEAN, head_clearance_static_lower=1.75, gasket_thickness_g5=thicker)
    assert answer_of(choose(path), "gasket").rows[0]["thickness"] == pytest.approx(thicker)


@pytest.fixture(scope="module")
def mixed(make, plan):
    """Return the demo with its pistons in the wrong bores and rods of different masses, and their list."""
    sizes = [103.9260, 103.9150, 103.9205, 103.9280, 103.9130, 103.9200]
    bores = {
        f"bore_reading_{n}_{depth}_{axis}": 104.0 + by
        for n, by in enumerate([-0.006, 0.006, 0.0, -0.008, 0.008, 0.001], 1)
        for depth in ("top", "middle", "bottom") for axis in ("thrust", "pin")
    }
    wide = {f"rod_housing_reading_{n}_vertical": 0.004 if n == 2 else -0.001 for n in range(1, 7)}
    wide |= {f"main_housing_reading_{n}_vertical": 82.950 + 0.003 * n for n in range(1, 8)}
    path = make(CLEAN, **{f"piston_reading_{n}": size for n, size in enumerate(sizes, 1)}, **bores, **wide)
    listed = path.with_suffix(".csv")
    chance = random.Random(4)
    lines = ["kind;mark;mass;uncertainty"]
    for kind, letter, mean in (("piston", "P", 800), ("pin", "", 250), ("rod", "R", 300)):
        lines += [
            f"{kind};{letter}{n};{mean + chance.randint(-20, 20) / 10:.1f};0,1".replace(".", ",")
            for n in range(1, 7)
        ]
    listed.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path, listed


def test_parts_that_move_take_their_readings_along_and_the_rest_is_measured_again(mixed, tmp_path):
    path, listed = mixed
    sheet = read_sheet(path)
    choice = choose_for(sheet, masses=read_masses(listed))
    pistons = answer_of(choice, "pistons to bores")
    moved = [row for row in pistons.rows if row["change"]]
    assert len(moved) >= 4
    assert pistons.reached[0].value < pistons.reached[0].now
    masses = answer_of(choice, "reciprocating masses")
    assert masses.reached[0].value < masses.reached[0].now
    gasket = answer_of(choice, "gasket")
    assert gasket.rows[0]["provisional"]
    assert not any(name.startswith("gasket_chosen") for name in choice.changes)
    copy = tmp_path / "copy.xlsx"
    copy.write_bytes(entered(sheet, choice))
    after = read_sheet(copy)
    for row in pistons.rows:
        n = row["number"]
        assert after.reference[f"piston_clearance_{n}"] == pytest.approx(row["clearance"], abs=2e-9)
        assert after.values[f"piston_mark_{n}"] == f"P{row['from_cylinder']}"
    for row in masses.rows:
        assert after.values[f"rod_mark_{row['number']}"] == row["rod"]
    for kind in ("main", "rod"):
        for row in answer_of(choice, f"{kind} bearing shells").rows:
            found = after.reference[f"{kind}_clearance_{row['number']}"]
            assert found == pytest.approx(row["clearance"], abs=2e-9)
    stands = {row["number"]: row["from_cylinder"] for row in pistons.rows}
    rods = {row["number"]: row["rod_from"] for row in masses.rows}
    for n in stands:
        cleared = after.values[f"deck_reading_{n}_front"] is None
        assert cleared == (stands[n] != n or rods[n] != n)
    again = choose_for(after, masses=read_masses(listed_as_moved(listed, tmp_path, masses)))
    for topic in ("pistons to bores", "main bearing shells", "rod bearing shells"):
        assert not any(row["change"] for row in answer_of(again, topic).rows)
    assert answer_of(again, "gasket").state == "not answerable"


def listed_as_moved(listed, folder, masses):
    """Return the list with the pins under the cylinders that they were moved to."""
    lines = listed.read_text(encoding="utf-8").splitlines()
    kept = [line for line in lines if not line.startswith("pin;")]
    pins = dict(line.split(";")[1:3] for line in lines if line.startswith("pin;"))
    kept += [f"pin;{row['number']};{pins[str(row['pin_from'])]};0,1" for row in masses.rows]
    path = folder / "moved.csv"
    path.write_text("\n".join(kept) + "\n", encoding="utf-8")
    return path


def test_stock_that_cannot_serve_is_named_and_the_rest_is_answered(parts_out, tmp_path):
    stock = tmp_path / "stock.csv"
    stock.write_text(
        "bearing,grade,half,count\nmain,standard,upper,7\nmain,standard,lower,5\n", encoding="utf-8"
    )
    result = run(parts_out, "--stock", stock, "--json")
    assert result.exit_code == 1
    answers = {answer["topic"]: answer for answer in json.loads(result.stdout)["answers"]}
    main = answers["main bearing shells"]
    assert main["state"] == "short"
    assert sum(int(text.split()[0]) for text in main["shortfall"]) == 2
    assert answers["rod bearing shells"]["state"] == "chosen"
    assert len(answers["gasket"]["rows"]) == 1


def test_one_more_shell_is_offered_where_stock_binds(parts_out, tmp_path):
    stock = tmp_path / "stock.csv"
    stock.write_text("bearing,grade,count\nmain,standard,14\nmain,thick,0\n", encoding="utf-8")
    answer = answer_of(choose(parts_out, read_stock(stock)), "main bearing shells")
    told = [text for text in answer.one_more if text.startswith("one more thick shell: ")]
    assert "0 bearings outside the limits instead of 1" in told[0]
    assert "worst 0.000471461" in told[0]
    assert any("stock limits it" in text for text in answer.limits)
    assert any("main bearing 3" in text and "upper limit" in text for text in answer.limits)


def test_what_is_not_measured_is_left_out_by_name_and_the_rest_answered(make):
    path = make(CLEAN, main_housing_reading_4_vertical=None, main_grade_wall_1=None, piston_reading_2=None)
    choice = choose(path)
    main = answer_of(choice, "main bearing shells")
    assert [row["number"] for row in main.rows] == [1, 2, 3, 5, 6, 7]
    assert any("main bearing 4" in text and "blank" in text for text in main.left_out)
    assert any("shell grade thin" in text for text in main.left_out)
    assert len(answer_of(choice, "pistons to bores").rows) == 5
    assert answer_of(choice, "gasket").state == "not answerable"
    assert "Main bearings!" in choice_text(choice)


def test_an_advantage_below_the_uncertainty_is_called_that(make):
    path = make(CLEAN, main_grade_wall_3=2.4508, main_clearance_target=0.0588)
    answer = answer_of(choose(path), "main bearing shells")
    assert any(row["change"] and row["gain_below_uncertainty"] for row in answer.rows)
    assert any("smaller than the uncertainty" in text for text in answer.doubts)


def test_faults_of_the_sheet_are_told_first(make):
    result = run(make(FAULTS))
    assert result.exit_code == 1
    assert result.stdout.index("To be put right first") < result.stdout.index("Pistons to bores")


def test_a_file_that_cannot_be_read_is_said_in_one_line(tmp_path):
    path = tmp_path / "no.xlsx"
    path.write_text("nothing")
    result = run(path, "--json")
    assert result.exit_code == 2
    assert json.loads(result.stdout)["first"][0]["code"].startswith("FILE")
    assert run(tmp_path / "absent.xlsx").exit_code == 2


def test_the_copy_is_never_written_over_anything(parts_out, tmp_path):
    before = parts_out.read_bytes()
    assert run(parts_out, "--out", parts_out).exit_code == 2
    assert parts_out.read_bytes() == before
    out = tmp_path / "chosen.xlsx"
    assert run(parts_out, "--leave-rods", "--out", out).exit_code == 1
    after = read_sheet(out)
    assert not after.altered
    assert not after.reprinted
    assert after.reference["main_shell_advice_3"] == "keep"
    assert after.values["gasket_chosen_1"] == pytest.approx(after.reference["gasket_pick_1"])
    first = out.read_bytes()
    assert run(parts_out, "--out", out).exit_code == 2
    assert out.read_bytes() == first


def test_both_banks_alike_or_each_its_own(tmp_path):
    definition = tmp_path / "v.toml"
    shutil.copy("templates_src/demo/build.toml", definition)
    text = definition.read_text(encoding="utf-8").replace(
        'preset = "inline-6"',
        'layout = "flat"\ncylinders = 6\nmain_bearings = 7\ncrankpins = [1, 2, 3, 4, 5, 6]',
    )
    definition.write_text(text, encoding="utf-8")
    plan = plan_workbook(read_build(definition))
    entries = {
        name: value for name, value in copy_entries(demo_plan(), CLEAN).items()
        if name in plan.by_name and plan.by_name[name].is_input
    }
    entries |= {f"{key}_{end}": by for key, by in (("deck_reading_2", -0.012), ("rocked_reading_2", -0.01))
                for end in (("front", "rear") if key == "deck_reading_2" else ("up", "down"))}
    path = tmp_path / "flat.xlsx"
    path.write_bytes(fill_workbook(workbook_bytes(plan, stored_values=False), plan, entries))
    sheet = read_sheet(path)
    own = [row["thickness"] for row in answer_of(choose_for(sheet), "gasket").rows]
    alike = [row["thickness"] for row in answer_of(choose_for(sheet, banks_alike=True), "gasket").rows]
    assert own[0] != own[1]
    assert alike == [max(own)] * 2


@pytest.mark.parametrize(("reader", "text", "told"), [
    (read_stock, "", "empty"),
    (read_stock, "bearing,grade,cuont\n", "did you mean 'count'"),
    (read_stock, "bearing,grade\nmain,std\n", "count is missing"),
    (read_stock, "bearing,grade,count\nmian,std,3\n", "line 2"),
    (read_stock, "bearing,grade,count\nmain,std,2.5\n", "whole number"),
    (read_stock, "bearing,grade,count\nmain,std,-2\n", "cannot be"),
    (read_stock, "bearing,grade,count\nmain,std,nan\n", "cannot be"),
    (read_stock, "bearing,grade,count\nmain,,2\n", "grade is missing"),
    (read_stock, "bearing,grade,count\nmain,std,2,9\n", "4 cells"),
    (read_stock, "bearing,grade,count,count\n", "twice"),
    (read_masses, "kind,mark,mass\npiston,P1,345\npiston,p1,346\n", "twice"),
    (read_masses, "kind,mark,mass\npiston,P1,heavy\n", "a number"),
    (read_offers, "kind,mark,length\npiston,P1,\n", "needs its compression_height"),
    (read_offers, "kind,mark,length\nrod,R1,0\n", "above 0"),
    (read_offers, 'kind,mark,length\nrod,"R1,0\n', "not a list"),
])
def test_a_bad_list_is_said_with_its_line(reader, text, told, tmp_path):
    path = tmp_path / "list.csv"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(DefinitionError, match=told):
        reader(path)


def test_a_list_that_is_no_text_or_not_there_is_said(tmp_path):
    path = tmp_path / "list.csv"
    path.write_bytes(b"\xff\xfe\x00bearing")
    with pytest.raises(DefinitionError, match="UTF-8"):
        read_stock(path)
    with pytest.raises(DefinitionError, match="no such file"):
        read_stock(tmp_path / "absent.csv")


@pytest.mark.parametrize("options", [("--report", "x.html"), ("--offered", "o.csv", "--out", "c.xlsx"),
                                     ("--out", "c.txt"), ("--stock", "absent.csv")])
def test_calls_that_cannot_be_are_refused(options, parts_out):
    result = run(parts_out, *options)
    assert result.exit_code == 2
    assert "boreledger: " in result.stderr


def test_rods_that_move_leave_the_main_bearings_alone(mixed):
    path, listed = mixed
    sheet = read_sheet(path)
    with_masses = choose_for(sheet, masses=read_masses(listed))
    rows = answer_of(with_masses, "reciprocating masses").rows
    assert any(row["rod_from"] != row["number"] for row in rows)
    topic = "main bearing shells"
    assert answer_of(with_masses, topic) == answer_of(choose_for(sheet), topic)
