"""Matching by the workbook's own weighings: against every order, what stays, what moves along."""

import itertools
import json
import random

import pytest
from typer.testing import CliRunner

from sheetgen.fill import fill_workbook
from sheetgen.workbook import workbook_bytes
from validators.choosing import moves
from validators.choosing.choose import choose_for
from validators.choosing.entered import entered
from validators.choosing.stock_lists import Weighed
from validators.cli import app
from validators.demo import COPIES, copy_entries, demo_plan
from validators.sheet import read_sheet

CLEAN, PARTS_OUT, FAULTS = COPIES
TOPIC = "reciprocating masses"
CYLINDERS = range(1, 7)


@pytest.fixture(scope="module")
def plan():
    return demo_plan()


@pytest.fixture(scope="module")
def issued(plan):
    return workbook_bytes(plan, stored_values=False)


@pytest.fixture(scope="module")
def make(plan, issued, tmp_path_factory):
    """Return what reads a copy of the demo with some entries changed."""
    folder = tmp_path_factory.mktemp("masses")

    def written(copy=CLEAN, **changes):
        path = folder / f"{len(list(folder.iterdir()))}.xlsx"
        path.write_bytes(fill_workbook(issued, plan, copy_entries(plan, copy) | changes))
        return read_sheet(path)

    return written


def scattered(seed):
    """Return weighings that scatter by grams, in tenths of a gram."""
    chance = random.Random(seed)
    entries = {
        f"{key}_{n}": round(mean + chance.randint(-spread, spread) / 10, 1)
        for key, mean, spread in (
            ("piston_mass", 700, 40), ("pin_mass", 210, 20), ("rod_small_mass", 222, 30),
            ("ring_mass", 44, 3), ("lock_mass", 4, 2),
        )
        for n in CYLINDERS
    }
    return entries | {f"rod_total_mass_{n}": None for n in CYLINDERS}


def answer_of(choice):
    return next((answer for answer in choice.answers if answer.topic == TOPIC), None)


@pytest.mark.parametrize("seed", range(2))
def test_no_order_of_pins_and_rods_has_a_smaller_spread(make, seed):
    weighed = scattered(seed)
    sheet = make(**weighed)
    answer = answer_of(choose_for(sheet))
    with_piston = [
        sum(weighed[f"{key}_{n}"] for key in ("piston_mass", "lock_mass", "ring_mass")) for n in CYLINDERS
    ]
    pins, rods = ([weighed[f"{key}_{n}"] for n in CYLINDERS] for key in ("pin_mass", "rod_small_mass"))
    orders = list(itertools.permutations(range(6)))
    least = 99.0
    for pin_order in orders:
        with_pin = [piston + pins[p] for piston, p in zip(with_piston, pin_order, strict=True)]
        for rod_order in orders:
            sums = [mass + rods[r] for mass, r in zip(with_pin, rod_order, strict=True)]
            least = min(least, max(sums) - min(sums))
    assert answer.reached[0].value == pytest.approx(least, abs=1e-6)
    assert answer.reached[0].now == pytest.approx(sheet.reference["reciprocating_spread"], abs=1e-6)


def test_the_copy_has_the_spread_that_was_said_and_its_parts_take_everything_along(make, tmp_path):
    sheet = make(**scattered(1))
    choice = choose_for(sheet)
    copy = tmp_path / "copy.xlsx"
    copy.write_bytes(entered(sheet, choice))
    after, answer = read_sheet(copy), answer_of(choice)
    assert after.reference["reciprocating_spread"] == pytest.approx(answer.reached[0].value, abs=1e-6)
    moved = [row for row in answer.rows if row["rod_from"] != row["number"]]
    assert moved
    for row in moved:
        n, before = row["number"], row["rod_from"]
        for key in ("rod_mark", "rod_big_mass"):
            assert after.values[f"{key}_{n}"] == sheet.values[f"{key}_{before}"]
        for bolt in "ab":
            free = f"bolt_free_length_{before}{bolt}"
            assert after.values[f"bolt_free_length_{n}{bolt}"] == sheet.values[free]
        assert after.values[f"deck_reading_{n}_front"] is None
        assert after.values[f"piston_mark_{n}"] == sheet.values[f"piston_mark_{n}"]
    for row in answer.rows:
        assert after.values[f"pin_length_{row['number']}"] == sheet.values[f"pin_length_{row['pin_from']}"]
        swapped = row["pin_from"] != row["number"]
        stands = not swapped and row["rod_from"] == row["number"]
        assert (after.values[f"retainer_count_{row['number']}"] is not None) == stands
    again = answer_of(choose_for(after))
    assert not any(row["change"] for row in again.rows)


def test_what_is_matched_within_its_limit_stays_and_the_answer_says_so(make):
    answer = answer_of(choose_for(make()))
    assert not any(row["change"] for row in answer.rows)
    assert any("within its limit" in text and "stay" in text for text in answer.doubts)
    assert "moving pins and rods: spread" in answer.next_best


def test_within_its_limit_is_said_only_where_the_sheet_says_it(make):
    """The spread of many sums has a wider guard than the difference of two weighings."""
    sheet = make()
    spread, guard = (sheet.reference[f"reciprocating_spread{what}"] for what in ("", "_guard_used"))
    single = sheet.values["mass_guard"]
    close = make(reciprocating_spread_upper=round(spread + (guard + single) / 2, 3))
    assert close.reference["reciprocating_spread_verdict"] == "too close to call"
    assert not any("within its limit" in text for text in answer_of(choose_for(close)).doubts)


def test_an_advantage_below_the_uncertainty_moves_nothing_and_is_said(make):
    entries = {f"rod_small_mass_{n}": 222.0 + (n == 3) * 0.3 for n in CYLINDERS}
    entries |= {f"rod_total_mass_{n}": None for n in CYLINDERS}
    for key, mass in (("pin_mass", 210.0), ("ring_mass", 44.0)):
        entries |= {f"{key}_{n}": mass for n in CYLINDERS}
    entries |= {f"piston_mass_{n}": 700.0 + 0.2 * (n == 3) for n in CYLINDERS}
    answer = answer_of(choose_for(make(**entries, reciprocating_spread_upper=0.3)))
    assert not any(row["change"] for row in answer.rows)
    assert any("smaller than the uncertainty" in text for text in answer.doubts)


def test_one_heavy_piston_is_named_and_the_rods_may_be_left_alone(make):
    sheet = make(PARTS_OUT)
    answer = answer_of(choose_for(sheet))
    assert answer.limits[0].startswith("cylinder 2 is heaviest")
    assert answer_of(choose_for(sheet, leave_rods=True)) is None


def test_a_part_that_was_not_weighed_is_named(make):
    answer = answer_of(choose_for(make(pin_mass_4=None, rod_small_mass_2="heavy")))
    assert answer.state == "not answerable"
    assert len(answer.left_out) == 2
    assert all("Masses and balance!" in text for text in answer.left_out)


def test_rings_and_retainers_that_nobody_weighed_are_taken_as_equal_and_that_is_said(make):
    blank = {f"{key}_{n}": None for key in ("ring_mass", "lock_mass") for n in CYLINDERS}
    answer = answer_of(choose_for(make(**scattered(1) | blank)))
    assert answer.state == "chosen"
    assert sum("not weighed" in text for text in answer.limits) == 2


def test_without_any_weighing_nothing_is_said_of_masses(make):
    blank = {
        f"{key}_mass_{n}": None
        for key in ("piston", "pin", "ring", "lock", "rod_small", "rod_big", "rod_total") for n in CYLINDERS
    }
    assert answer_of(choose_for(make(**blank))) is None


def test_every_reading_of_a_cylinder_goes_with_a_part_or_stays_or_is_taken_again(plan):
    """A new sheet cannot be forgotten: what is read by the cylinder must be told where it belongs."""
    lists = (moves.WITH_PISTON, moves.WITH_PIN, moves.WITH_ROD, moves.OF_THE_PLACE,
             moves.OF_THE_ROD_IN_PLACE, moves.STAYS)
    told = [key for keys in lists for key in keys]
    assert len(told) == len(set(told))
    read = {
        key for key, entry in plan.catalogue.entries.items()
        if entry.kind == "reading" and set(entry.over) & {"cylinder", "rodbolt"}
    }
    assert read == set(told)


def test_leaving_the_rods_and_a_list_of_masses_do_not_go_together(make, tmp_path):
    sheet = make()
    listed = tmp_path / "masses.csv"
    listed.write_text("kind,mark,mass\n", encoding="utf-8")
    call = ["choose", str(sheet.path), "--leave-rods", "--masses", str(listed)]
    assert CliRunner().invoke(app, call).exit_code == 2
    result = CliRunner().invoke(app, ["choose", str(sheet.path), "--leave-rods", "--json"])
    assert TOPIC not in [answer["topic"] for answer in json.loads(result.stdout)["answers"]]


def test_one_mass_without_its_uncertainty_leaves_none_for_the_match(make):
    """Wherever in the list it stands."""
    sheet = make(**scattered(1))
    listed = {kind: {} for kind in ("piston", "pin", "rod")}
    for n in CYLINDERS:
        for kind, key in (("piston", "piston_mass"), ("pin", "pin_mass"), ("rod", "rod_small_mass")):
            mark = str(n) if kind == "pin" else sheet.values[f"{kind}_mark_{n}"].casefold()
            listed[kind][mark] = sheet.values[f"{key}_{n}"]
    for without in (0, 3, 5):
        told = {kind: dict.fromkeys(masses, 0.1) for kind, masses in listed.items()}
        del told["pin"][list(listed["pin"])[without]]
        weighed = {kind: Weighed(masses, told[kind]) for kind, masses in listed.items()}
        answer = answer_of(choose_for(sheet, masses=weighed))
        assert any("no uncertainty for every mass" in text for text in answer.doubts), without
