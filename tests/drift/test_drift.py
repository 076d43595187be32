"""Both statements of the physics agree, for random builds of every layout."""

import pytest

from sheetgen.build import new_build, presets
from sheetgen.catalogue import FAMILIES, load_catalogue
from sheetgen.plan import plan_workbook
from validators.cell_values import ErrorValue
from validators.edge_builds import proof_builds
from validators.last_digit import MovedCopies, moved
from validators.prove import (
    Disagreement,
    Part,
    compared,
    occurrences,
    prove_and_print,
    prove_one,
    sort_out_rounding,
)
from validators.random_builds import MOODS
from validators.random_layouts import layout_file, random_layout
from validators.recompute import Recomputer
from validators.shown_again import repeated_name

BUILDS = 200
MOST_ROUNDING = 1e-4
"""Share of results that may hang on the last binary digit of an entry."""

RANDOM_LAYOUTS = range(24)
CATALOGUE = load_catalogue()


def assert_holds(part):
    assert not part.errors, "\n".join(map(str, part.errors[:20]))
    assert not part.disagreements, "\n".join(map(str, part.disagreements[:20]))


@pytest.mark.parametrize("family", FAMILIES)
@pytest.mark.parametrize("layout", presets())
def test_sheet_and_core_agree_for_a_preset_layout(layout, family):
    part = prove_one(layout, new_build(layout, family), range(BUILDS))
    assert_holds(part)
    assert len(part.rounding) <= part.results * MOST_ROUNDING
    assert part.builds == BUILDS
    assert part.repeated
    assert part.share > 0.4
    assert 0 < part.worst < 1e-9


@pytest.mark.parametrize("number", RANDOM_LAYOUTS)
def test_sheet_and_core_agree_for_a_random_layout(number):
    part = prove_one(f"random {number}", random_layout(number), range(len(MOODS)))
    assert_holds(part)
    assert part.results


def test_random_layouts_reach_the_ends_of_what_a_build_file_may_say():
    layouts = [random_layout(number).layout for number in RANDOM_LAYOUTS]
    assert {layout.kind for layout in layouts} == {"inline", "v", "flat"}
    assert {1, 12} <= {layout.cylinders for layout in layouts}
    assert {1, 5} <= {layout.shell_grades for layout in layouts}
    assert {1, 12} <= {layout.fastener_groups for layout in layouts}
    assert {random_layout(number).left_out for number in RANDOM_LAYOUTS} == {(), ("top_end",)}
    assert {1, 2} <= {layout.banks for layout in layouts}
    assert 1 in {layout.mains for layout in layouts}
    rods = {max(map(layout.crankpin_of.count, layout.crankpin_of)) for layout in layouts}
    assert rods == {1, 2}
    assert len({layout_file(number) for number in RANDOM_LAYOUTS}) == len(RANDOM_LAYOUTS)


# ---------------------------------------------------------------- what the builds bring about


@pytest.fixture(scope="module")
def occurring():
    return occurrences("v6", new_build("v6"), range(400))


def cannot_be_said():
    """Words of a list that no entry can bring about, with the reason in the branch that adds them."""
    for key in CATALOGUE.limited:
        entry = CATALOGUE.entries[key]
        if entry.limits != "both":  # one limit cannot contradict another
            yield f"{key}_limit_state", "check limits"
            yield f"{key}_verdict", "check limits"
        if entry.limits == "upper":  # there is no limit to be under
            yield f"{key}_verdict", "under"
        if entry.limits == "lower":
            yield f"{key}_verdict", "over"
        if entry.guard == "exact_guard":  # a typed figure is never too close to its limit
            yield f"{key}_verdict", "too close to call"
    yield "ring_gap_verdict", "no limit set"  # both limits follow from the ring, or it is not measured


def test_every_result_has_a_value_in_some_build(occurring):
    results = [key for key, entry in CATALOGUE.entries.items() if entry.kind == "result" and not entry.words]
    blank = [key for key in results if not occurring.filled[key] and not key.endswith(("_floor", "_ceiling"))]
    assert not blank


def test_every_word_is_said_in_some_build_but_those_that_cannot_be(occurring):
    said = {(key, word) for key, word in occurring.words if occurring.words[key, word]}
    listed = {
        (key, word)
        for key, entry in CATALOGUE.entries.items()
        if entry.kind == "result" and entry.words
        for word in CATALOGUE.words[entry.words]
    }
    assert listed - said == set(cannot_be_said())


def test_the_same_seed_gives_the_same_build_and_another_seed_another():
    recomputer = Recomputer(plan_workbook(new_build("inline-3")))
    one, again, other = (proof_builds(recomputer, [seed])[0] for seed in (5, 5, 6))
    assert one == again
    assert one != other


# ---------------------------------------------------------------- the comparison can fail


@pytest.fixture(scope="module")
def agreed():
    plan = plan_workbook(new_build("inline-3"))
    recomputer = Recomputer(plan)
    batch = proof_builds(recomputer, [0, 1])
    return plan, batch, recomputer.recalculated(batch), recomputer.reference(batch)


def falsified(agreed, *, sheet=None, core=None):
    plan, batch, by_sheet, by_core = agreed
    return compared("false", plan, [0, 1], batch, {**by_sheet, **(sheet or {})}, {**by_core, **(core or {})})


def test_nothing_is_reported_where_nothing_differs(agreed):
    part = falsified(agreed)
    assert_holds(part)
    assert part.builds == 2


@pytest.mark.parametrize("by", [1 + 1e-8, -1.0, 1000.0])
def test_a_number_that_differs_is_reported(agreed, by):
    one, other = agreed[3]["bore_mean_2"]
    part = falsified(agreed, sheet={"bore_mean_2": [one, other * by]})
    assert [(d.name, d.seed, d.by_core) for d in part.disagreements if "!" not in d.name] == [
        ("bore_mean_2", 1, other)
    ]


def test_a_word_and_a_blank_that_differ_are_reported(agreed):
    part = falsified(agreed, core={"plate_state": ["", ""], "deck_cut": ["", 1.0]})
    assert {d.name for d in part.disagreements} >= {"plate_state", "deck_cut"}


def test_a_truth_value_is_no_number(agreed):
    part = falsified(agreed, sheet={"chosen_number": [True, True]}, core={"chosen_number": [1.0, 1.0]})
    assert {d.name for d in part.disagreements} == {"chosen_number"}


def test_an_error_value_is_reported_wherever_it_stands(agreed):
    plan = agreed[0]
    floor = "piston_clearance_floor"
    repeated = next(cell for cell in plan.cells if cell.formula and not cell.name)
    place = f"{repeated.sheet}!{repeated.address}"
    wrong = [ErrorValue("#DIV/0!"), 0.0]
    part = falsified(agreed, sheet={floor: wrong, place: wrong})
    assert {(d.name, d.seed) for d in part.errors} == {(floor, 0), (place, 0)}


def test_a_fault_is_never_taken_for_rounding(agreed):
    plan, batch, by_sheet, _ = agreed
    wrong = {
        "bore_mean_2": [one * (1 + 1e-8) for one in by_sheet["bore_mean_2"]],
        "plate_state": ["something else"] * 2,
        "bore_mean_1": ["", ""],
    }
    part = falsified(agreed, sheet=wrong)
    before = list(part.disagreements)
    sort_out_rounding(part, Recomputer(plan), dict(enumerate(batch)))
    assert sorted(map(str, part.disagreements)) == sorted(map(str, before))
    assert {item.name for item in before} >= set(wrong)
    assert not part.rounding


def test_what_the_last_digit_decides_is_set_apart(agreed):
    """A rounding at nine decimals that lies exactly between two figures may go either way."""
    plan, batch, *_ = agreed
    recomputer = Recomputer(plan)
    entries = dict(batch[0])
    by_core = recomputer.reference([entries])
    copies = recomputer.reference(moved(entries, 0))
    trembling = [name for name, values in copies.items() if len(set(values)) > 1 and "" not in values]
    name = next(n for n in trembling if isinstance(by_core[n][0], float))
    found = Disagreement("false", name, 0, copies[name][0], by_core[name][0])
    part = Part("false", "millimetre", disagreements=[found])
    sort_out_rounding(part, recomputer, {0: entries})
    assert part.rounding == [found]
    assert not part.disagreements


def test_a_name_that_is_a_number_stays_what_it_is(agreed):
    """A shell's grade moved by a hair would be of no grade, and take with it what rests on the shell."""
    plan, batch, *_ = agreed
    names = {"main_grade_name_1": 1.0, "main_grade_name_2": 2.0, "main_shell_upper_1": 2.0}
    copies = MovedCopies(Recomputer(plan), {**batch[0], **names, "bore_setting_1": 86.0}).entries
    assert all({**copy, **names} == copy for copy in copies)
    assert len({copy["bore_setting_1"] for copy in copies}) > 2


def test_a_figure_that_is_shown_again_must_be_the_figure(agreed):
    plan = agreed[0]
    again = [cell for cell in plan.cells if cell.formula and not cell.name]
    assert {cell.role for cell in again} >= {"echo", "verdict_echo", "missing"}
    for cell in again:
        place = f"{cell.sheet}!{cell.address}"
        part = falsified(agreed, sheet={place: ["something else", "something else"]})
        assert {d.name for d in part.disagreements} == {place}, repeated_name(plan, cell)


def test_a_result_that_the_core_lacks_is_an_error_of_ours(agreed):
    plan, batch, by_sheet, by_core = agreed
    fewer = {name: values for name, values in by_core.items() if name != "bore_mean_1"}
    with pytest.raises(KeyError):
        compared("false", plan, [0, 1], batch, by_sheet, fewer)


def test_the_command_prints_what_it_found_and_says_whether_it_holds():
    said = []
    assert prove_and_print(8, ["inline-3"], ["inch"], 3, echo=said.append)
    assert any("inline-3" in line and "8 builds" in line for line in said)
    assert "0 disagreements" in said
    assert "0 error values" in said
