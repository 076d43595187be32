"""Shells under stock, against every possible choice."""

import itertools
import time
from dataclasses import replace

import numpy as np
import pytest

from validators.choosing.shell_programme import ShellJob, ShellProgramme
from validators.choosing.stock_lists import ShellStock

GRADES = ("thin", "standard", "thick")
EITHER = 0


def job_of(seed, *, bearings=5, grades=3, stock=None, steps=1.0, coarse=True):
    """Return an invented crank: sizes on a grid of half micrometres (so that ties happen), or without one."""
    chance = np.random.default_rng(seed)
    rooms = 4.020 + chance.normal(0, 0.004, bearings)
    walls = 1.985 + 0.005 * (np.arange(grades) - 1)
    if coarse:
        rooms = np.round(rooms * 2000) / 2000
    names = (*GRADES, "thicker", "thickest")[:grades]
    if stock is None:
        counts = {(name, half): int(chance.integers(0, 5)) for name in names for half in ("upper", "lower")}
        stock = ShellStock(counts, False, {name: name for name in names})
    return ShellJob(list(rooms), list(walls), names, 0.050, steps, EITHER, 1e3, stock)


def every_choice(job):
    """Return what is missing, bearings outside, worst, sum of squares, odd pairs: for every choice."""
    allowed = [place for place, (u, lo) in enumerate(job.pairs) if abs(u - lo) <= job.steps]
    choices = np.array(list(itertools.product(allowed, repeat=len(job.rooms))))
    away = np.abs(job.clearances - job.target)
    taken = away[np.arange(len(job.rooms)), choices]
    pairs = np.array(job.pairs)[choices]
    missing = np.zeros(len(choices))
    for number, grade in enumerate(job.grades):
        uses = (pairs == number).sum(axis=1)
        have = {half: job.stock.count(grade, half) for half in ("upper", "lower", "either")}
        if "either" in job.stock.halves:
            short_upper = np.maximum(0, uses[:, 0] - have["upper"] - have["either"])
            short_lower = np.maximum(0, uses[:, 1] - have["lower"] - have["either"])
            short_both = np.maximum(0, uses.sum(axis=1) - sum(have.values()))
            missing += np.maximum(np.maximum(short_upper, short_lower), short_both)
        else:
            missing += np.maximum(0, uses[:, 0] - have["upper"]) + np.maximum(0, uses[:, 1] - have["lower"])
    odd = (pairs[:, :, 0] != pairs[:, :, 1]).sum(axis=1)
    made = job.clearances[np.arange(len(job.rooms)), choices]
    outside = (np.round(made - job.lower, 9) < 0) | (np.round(made - job.upper, 9) > 0)
    worst, squares = np.round(taken.max(axis=1), 9), np.round((taken**2).sum(axis=1) * 1e6, 6)
    return missing, outside.sum(axis=1), worst, squares, odd


def best_of(job):
    missing, *rest = every_choice(job)
    if job.stock.unlimited:
        missing = np.zeros_like(missing)
    return min(zip(missing, *rest, strict=True))


def key_of(picked):
    bought, outside, worst, squares, odd = picked.key
    return bought, outside, worst, squares * 1e6, odd


@pytest.mark.parametrize("seed", range(20))
def test_a_five_main_crank_is_served_as_well_as_by_the_best_of_all_choices(seed):
    job = job_of(seed)
    assert key_of(ShellProgramme(job).solve()) == pytest.approx(best_of(job), abs=2e-6)


@pytest.mark.parametrize("scale", [1e3, 25.4e3])
def test_small_deviations_keep_their_digits_in_both_units(scale):
    """Half a micrometre and a tenth, in the shown unit."""
    away = [0.5 / scale, 0.1 / scale]
    job = replace(job_of(0), scale=scale)
    assert job.sum_of_squares(away) * scale**2 == pytest.approx(0.26, rel=1e-6)


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("stocked", [True, False])
def test_limits_come_before_nearness_as_all_choices_say(seed, stocked):
    """The target lies near the lower limit, so that the nearest pair is often outside."""
    job = replace(job_of(seed, stock=None if stocked else ShellStock()), lower=0.0485, upper=0.056)
    picked = ShellProgramme(job).solve()
    assert key_of(picked) == pytest.approx(best_of(job), abs=2e-6)
    if not stocked:
        for bearing, pair in enumerate(picked.pairs):
            allowed = [p for p in range(len(job.pairs)) if not np.isnan(job.clearances[bearing, p])]
            some = any(not job.outside(bearing, p) for p in allowed)
            assert job.outside(bearing, pair) != some


def test_the_limits_of_the_invented_cranks_bind():
    changed = 0
    for seed in range(12):
        job = job_of(seed, stock=ShellStock())
        bound = replace(job, lower=0.0485, upper=0.056)
        changed += ShellProgramme(job).solve().pairs != ShellProgramme(bound).solve().pairs
    assert changed >= 3


@pytest.mark.parametrize("seed", range(8))
def test_shells_that_serve_as_either_half_are_counted_together(seed):
    chance = np.random.default_rng(seed + 100)
    counts = {(name, "either"): int(chance.integers(0, 7)) for name in GRADES}
    counts["standard", "upper"] = int(chance.integers(0, 3))
    job = job_of(seed, stock=ShellStock(counts, False, {}), steps=2.0)
    assert key_of(ShellProgramme(job).solve()) == pytest.approx(best_of(job), abs=2e-6)


def test_some_of_the_invented_stocks_serve_and_some_do_not():
    bought = [sum(ShellProgramme(job_of(seed)).solve(canonical=False).bought.values()) for seed in range(20)]
    assert any(bought)
    assert not all(bought)


@pytest.mark.parametrize("seed", range(6))
def test_without_a_stock_every_bearing_has_its_nearest_pair(seed):
    job = job_of(seed, stock=ShellStock(), coarse=False)
    picked = ShellProgramme(job).solve()
    nearest = np.nanmin(np.abs(job.clearances - job.target), axis=1)
    got = [job.away(bearing, pair) for bearing, pair in enumerate(picked.pairs)]
    assert got == pytest.approx(list(nearest), abs=1e-9)
    assert not picked.bought


@pytest.mark.parametrize("seed", range(6))
def test_what_one_more_shell_buys_is_what_all_choices_say(seed):
    job = replace(job_of(seed), lower=0.047, upper=0.0525)
    picked = ShellProgramme(job).solve()
    for grade in GRADES:
        with_one = job.stock.with_one_more(grade, "lower")
        richer = replace(job, stock=with_one)
        found = ShellProgramme(richer).solve(canonical=False)
        assert key_of(found) == pytest.approx(best_of(richer), abs=2e-6)
        asked = ShellProgramme(richer).better_than(picked)
        if key_of(found)[0] < key_of(picked)[0]:
            assert sum(asked.bought.values()) == key_of(found)[0]
        elif key_of(found) < key_of(picked):
            assert key_of(asked) == pytest.approx(key_of(found), abs=2e-6)
        else:
            assert asked is None


@pytest.mark.parametrize("seed", range(6))
def test_the_next_best_is_the_best_that_differs_in_a_clearance(seed):
    job = job_of(seed, stock=ShellStock({(g, h): 9 for g in GRADES for h in ("upper", "lower")}, False, {}))
    picked = ShellProgramme(job).solve()
    other = ShellProgramme(job).solve(without=picked, canonical=False)
    allowed = [place for place, (u, lo) in enumerate(job.pairs) if abs(u - lo) <= 1]
    chosen = job.clearances[np.arange(5), list(picked.pairs)]
    choices = np.array(list(itertools.product(allowed, repeat=5)))
    differs = np.any(job.clearances[np.arange(5), choices] != chosen, axis=1)
    _, *values = every_choice(job)
    best = min(zip(*(value[differs] for value in values), strict=True))
    assert key_of(other)[1:] == pytest.approx(best, abs=2e-6)
    assert other.pairs != picked.pairs


def test_equal_answers_prefer_odd_pairs_alike_then_larger_clearances_and_never_change():
    job = job_of(3)
    first, second = ShellProgramme(job).solve(), ShellProgramme(job).solve()
    assert first == second
    free = job_of(3, stock=ShellStock())
    thicker_upper = [job.pairs[pair][0] > job.pairs[pair][1] for pair in ShellProgramme(free).solve().pairs]
    assert not any(thicker_upper)


@pytest.mark.parametrize("most", [2, 4])
def test_a_twelve_cylinder_engine_with_twelve_grades_takes_seconds(most):
    """Processor time is counted, so that a busy machine is no slow programme."""
    names, chance = tuple(f"grade {n}" for n in range(1, 13)), np.random.default_rng(3)
    halves = ("upper", "lower")
    counts = {(name, half): int(chance.integers(0, most + 1)) for name in names for half in halves}
    rooms, walls = 4.020 + chance.normal(0, 0.008, 12), 1.985 + 0.0025 * (np.arange(12) - 5.5)
    stock = ShellStock(counts, False, {name: name for name in names})
    job = ShellJob(list(rooms), list(walls), names, 0.050, 1.0, EITHER, 1e3, stock, 0.040, 0.060)
    start = time.process_time()
    programme = ShellProgramme(job)
    picked = programme.solve()
    assert picked.proved
    assert programme.solve(without=picked, canonical=False).key >= picked.key
    for grade in names:
        for half in ("upper", "lower"):
            richer = replace(job, stock=job.stock.with_one_more(grade, half))
            better = ShellProgramme(richer).better_than(picked)
            assert better is None or better.key < picked.key
    assert time.process_time() - start < 60
