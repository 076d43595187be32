"""The proof can fail: a single fault in a formula or in the core shows in some build.

Every formula and every function of the core is tried with single faults. Those that show in no
build are listed in `survivors.toml`, each with the reason why it changes nothing, or with the outside
check that sees it all the same. The tests try half of them, drawn by seed;
``python -m tests.drift.all_mutants`` tries every one.
"""

import random

import pytest

from tests.drift.all_mutants import OUTSIDE, every_fault, named, numbered, reasons, seen_by
from tests.external.core_faults import seen_outside
from validators.formula_mutants import faults, read_places, written
from validators.formula_statements import statements
from validators.mutants import BENCHES, mutate_core, mutate_formulas, outside_the_workbook
from validators.mutation_bench import bench
from validators.places import cell_key

DRAWN = 0.5
GOAL = 0.99
"""Share of the faults that must show, in builds or to outside checks: of formulas and core each."""
SHARES = 6
"""The formulas' faults are dealt out to so many tests, which may run side by side."""


def drawn(part):
    every = every_fault(part)
    return dict(random.Random(part).sample(sorted(every.items()), round(DRAWN * len(every))))


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
def test_a_fault_in_a_formula_shows_or_is_argued(share):
    tried = dict(sorted(drawn("formula").items())[share::SHARES])
    assert_argued(mutate_formulas(list(tried)), set(reasons("formula")) & set(tried.values()))


def test_a_fault_in_the_core_shows_or_is_argued():
    tried = drawn("core")
    listed = set(reasons("core")) | set(reasons(OUTSIDE))
    assert_argued(mutate_core(sorted(tried)), listed & set(tried.values()))


def test_what_only_an_outside_check_sees_is_seen_by_the_one_that_is_named():
    listed = seen_by()
    found = seen_outside(numbered(listed), sorted(set(listed.values())))
    seen = {f"{where}  {change}": test.partition("::")[0] for (where, change), test in found.items()}
    assert seen == listed


@pytest.mark.parametrize("part", ["formula", "core"])
def test_nearly_every_fault_shows(part):
    """The tests above hold the lists to what survives; here they must be short, and name real faults."""
    every, listed = list(every_fault(part).values()), set(reasons(part))
    assert len(set(every)) == len(every)
    assert listed <= set(every)
    assert not listed & set(reasons(OUTSIDE))
    assert part == "formula" or set(reasons(OUTSIDE)) <= set(every)
    assert 1 - len(listed) / len(every) >= GOAL


def test_what_no_result_rests_on_is_tried_nowhere_and_so_is_named_here():
    """They are only compared with tables, in tests/external: the tilt of the rod, the Reynolds equation."""
    outside = [where for where in outside_the_workbook() if not where.startswith("reynolds.")]
    assert outside == ["slider_crank.rod_tilt"]


def test_the_guard_of_an_extreme_is_within_reach_of_the_bench():
    """The wiring calls it, and what counts the readings, by no name of a result."""
    faults = [name for name in every_fault("core").values() if name.startswith("extremes.")]
    assert {name.split()[0] for name in faults} == {"extremes.chances_of", "extremes.extreme_guard"}
    assert len(faults) > 50


@pytest.mark.parametrize(("layout", "family"), [setting[:2] for setting in BENCHES])
def test_every_formula_of_a_workbook_is_stated_once(layout, family):
    """Counts of what is missing and figures that are shown again as well: none is left untried."""
    plan = bench(layout, family, 1).plan
    placed = [placed.cell for statement in statements(plan) for placed in statement.cells]
    assert sorted(map(cell_key, placed)) == sorted(cell_key(cell) for cell in plan.cells if cell.formula)


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
