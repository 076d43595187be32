"""The proof can fail: a single fault in a formula or in the core shows in some build.

A seeded sample of all single faults is tried here; `boreledger prove --mutants` tries every one and
takes more than an hour.
"""

from validators.mutants import GOAL, all_core_faults, formula_faults, mutate_core, mutate_formulas, sampled

FORMULA_SHARE = 0.015
CORE_SHARE = 0.08


def told(tally):
    return "\n".join(f"{o.where}  {o.change}\n    {o.original}\n    {o.mutant}" for o in tally.survivors)


def shown(tally):
    return sum(outcome.shows for outcome in tally.outcomes) / len(tally.outcomes)


def test_faults_in_formulas_show():
    """At least 97 in 100 single faults in formulas are found by the drift comparison."""
    sample = sampled(len(formula_faults()), FORMULA_SHARE, 1)
    tally = mutate_formulas(sample)
    assert len(tally.outcomes) >= 100
    assert shown(tally) >= GOAL, told(tally)


def test_faults_in_the_core_show():
    """At least 97 in 100 single faults in the core are found by the drift comparison."""
    sample = sampled(len(all_core_faults()), CORE_SHARE, 1)
    tally = mutate_core(sample)
    assert len(tally.outcomes) >= 300
    assert shown(tally) >= GOAL, told(tally)
