"""The proof can fail: a single fault in a formula or in the core shows in some build.

Every formula and every function of the core is tried with single faults. Those that show in no
build are listed in `survivors.toml`, each with the reason why it changes nothing. Of the sheets that
came later a sample is tried, and their survivors are not argued yet.
"""

import random
import tomllib
from pathlib import Path

import pytest

from validators.formula_mutants import faults, read_places, written
from validators.mutants import (
    BENCHES,
    GOAL,
    all_core_faults,
    formula_faults,
    mutate_core,
    mutate_formulas,
    outside_the_workbook,
)

LISTED = tomllib.loads((Path(__file__).parent / "survivors.toml").read_text(encoding="utf-8"))
SHARES = 6
"""The formulas' faults are dealt out to so many tests, which may run side by side."""

SAMPLED_SHEETS = (
    "assembly", "checks", "fasteners", "hold_points", "masses", "oil_film", "pins", "ring_layout", "top_end",
)
SAMPLED_MODULES = {
    "assembly", "balance", "bearing_loads", "bob_weights", "bolt_strength", "chambers", "charts", "duties",
    "fasteners", "film_formula", "film_oils", "film_rows", "joints", "main_films", "main_trials",
    "mass_matching", "masses", "oils", "press_fits", "retainers", "ring_grooves", "ring_layout", "ring_sets",
    "rod_bolts", "rod_films", "rod_trials", "separation", "shaking", "shims", "springs", "valve_timing",
}
SAMPLE, GOAL_SAMPLED = 20, 0.9
"""Faults tried of each sheet whose survivors are not argued yet, and the share that must show."""


def named(fault):
    return f"{fault.where}  {fault.change}"


def reasons(part):
    found = {}
    for group in LISTED[part]:
        assert len(group["reason"].split()) >= 5, group
        for fault in group["faults"]:
            assert fault not in found, f"listed twice: {fault}"
            found[fault] = group["reason"]
    return found


def every_formula_fault():
    """Return the number and name of every fault, but those of the sheets that are only sampled."""
    return {
        number: f"{where}  {fault.change}"
        for number, (where, fault) in enumerate(formula_faults())
        if where.split("/")[0] not in SAMPLED_SHEETS
    }


def every_core_fault():
    return {
        number: named(fault)
        for number, fault in enumerate(all_core_faults())
        if fault.where.split(".")[0] not in SAMPLED_MODULES
    }


def assert_argued(tally, listed):
    """Every survivor is listed, and nothing is listed that shows."""
    survivors = {named(outcome) for outcome in tally.survivors}
    assert not survivors - listed, "\n".join(
        f"{outcome.where}  {outcome.change}\n    {outcome.original}\n    {outcome.mutant}"
        for outcome in tally.survivors
        if named(outcome) not in listed
    )
    assert not listed - survivors, "listed, but it shows"


@pytest.mark.parametrize("share", range(SHARES))
def test_every_fault_in_a_formula_shows_or_is_argued(share):
    tried = dict(list(every_formula_fault().items())[share::SHARES])
    assert_argued(mutate_formulas(list(tried)), set(reasons("formula")) & set(tried.values()))


def test_every_fault_in_the_core_shows_or_is_argued():
    assert_argued(mutate_core(list(every_core_fault())), set(reasons("core")))


@pytest.mark.parametrize(
    ("part", "faults_of"), [("formula", every_formula_fault), ("core", every_core_fault)]
)
def test_nearly_every_fault_shows(part, faults_of):
    """The tests above hold the lists to what survives; here they must be short, and name real faults."""
    every, listed = list(faults_of().values()), set(reasons(part))
    assert len(set(every)) == len(every)
    assert listed <= set(every)
    assert 1 - len(listed) / len(every) >= GOAL


def test_most_faults_show_on_the_sheets_that_are_sampled():
    """A seeded sample of each; what survives there is not argued one by one yet."""
    chance, chosen = random.Random(3), []
    for sheet in SAMPLED_SHEETS:
        faults_here = [n for n, (where, _) in enumerate(formula_faults()) if where.startswith(f"{sheet}/")]
        chosen += chance.sample(faults_here, min(SAMPLE, len(faults_here)))
    assert mutate_formulas(sorted(chosen)).share >= GOAL_SAMPLED


def test_most_faults_show_in_the_modules_that_are_sampled():
    modules = [fault.where.split(".")[0] for fault in all_core_faults()]
    faults_here = [number for number, module in enumerate(modules) if module in SAMPLED_MODULES]
    chosen = random.Random(3).sample(faults_here, SAMPLE * len(SAMPLED_SHEETS))
    assert mutate_core(sorted(chosen)).share >= GOAL_SAMPLED


def test_what_no_result_rests_on_is_tried_nowhere_and_so_is_named_here():
    """The tilt of the rod and the Reynolds equation are only compared with tables, in tests/external."""
    outside = [where for where in outside_the_workbook() if not where.startswith("reynolds.")]
    assert outside == ["slider_crank.rod_tilt"]


def test_a_fault_is_looked_for_in_both_families_and_in_more_than_one_layout():
    assert {family for _, family, _ in BENCHES} >= {"millimetre", "inch"}
    assert len({layout for layout, _, _ in BENCHES}) == len(BENCHES) == 3


@pytest.mark.parametrize(
    ("formula", "mutants"),
    [
        ("={one}<{two}", {"={one}<={two}", "={one}>{two}", "={two}<{two}", "={one}<{one}"}),
        ("=MIN({one},{two})", {"=MAX({one},{two})", "=MIN({two})", "=MIN({one})", "=MIN({two},{two})"}),
        ("=ROUND({one},9)", {"=({one})", "=ROUND({one},10)", "=ROUND({one},8)"}),
        ("=COS(RADIANS({one}))", {"=SIN(RADIANS({one}))", "=COS(DEGREES({one}))", "=COS(({one}))"}),
        ("=ATAN2({one},{two})", {"=ATAN2({two},{one})"}),
        ("={one}-({two}+1)",
         {"={one}+({two}+1)", "={one}-({two}-1)", "={one}-({two})", "={one}", "=({two}+1)"}),
        ('=IF(COUNT({one},{two})<2,"",{one}/{two})',
         {'=IF(COUNT({two})<1,"",{one}/{two})', '=IF(COUNT({one},{two})<1,"",{one}/{two})', "={one}/{two}",
          '=IF(COUNT({one},{two})<2,{one}/{two},"")', '=IF(COUNT({one},{two})<2,0,{one}/{two})',
          '=IF(COUNT({one},{two})<2,"",{two})', '=IF(COUNT({one},{two})<2,"",{one}*{two})'}),
    ],
)
def test_the_faults_are_those_that_a_person_makes(formula, mutants):
    part, places, _ = read_places(formula)
    made = {f"={written(fault.formula, places)}" for fault in faults(part, places, ["number"] * len(places))}
    assert made >= mutants
    assert formula not in made
