"""Pistons to bores and masses, against every permutation."""

import itertools
import time

import numpy as np
import pytest

from validators.choosing.masses import match, next_best
from validators.choosing.pairing import pair


def pairings(bores, pistons, target):
    orders = np.array(list(itertools.permutations(range(len(bores)))))
    away = np.abs(np.asarray(bores) - np.asarray(pistons)[orders] - target)
    return min(zip(np.round(away.max(axis=1), 9), np.round((away**2).sum(axis=1) * 1e6, 5), strict=True))


@pytest.mark.parametrize("count", [1, 2, 3, 5, 8])
@pytest.mark.parametrize("seed", range(4))
def test_no_permutation_is_better(count, seed):
    chance = np.random.default_rng(100 * count + seed)
    bores = list(np.round(93 + chance.normal(0, 0.003, count), 3))
    pistons = list(np.round(92.945 + chance.normal(0, 0.003, count), 3))
    best = pair(bores, pistons, 0.055, 1e3)
    assert (best.worst, best.squares * 1e6) == pytest.approx(pairings(bores, pistons, 0.055), abs=2e-5)
    assert sorted(best.pistons) == list(range(count))
    assert best.proved


def test_pistons_that_are_equal_stay_where_they_are():
    assert pair([93.0, 93.0, 93.0], [92.95, 92.95, 92.95], 0.05, 1e3).pistons == (0, 1, 2)


def test_inches_are_paired_like_millimetres():
    bores, pistons = [3.6615, 3.6612, 3.6617], [3.6592, 3.6596, 3.6590]
    assert pair(bores, pistons, 0.0022, 25.4e3).pistons == (0, 2, 1)


def spreads(pistons, pins, rods):
    orders = np.array(list(itertools.permutations(range(len(pistons)))))
    pinned = np.asarray(pistons) + np.asarray(pins)[orders]
    sums = pinned[:, np.newaxis, :] + np.asarray(rods)[orders][np.newaxis, :, :]
    return float(np.round((sums.max(axis=-1) - sums.min(axis=-1)).min(), 6))


@pytest.mark.parametrize("count", [1, 2, 3, 4, 5])
@pytest.mark.parametrize("seed", range(4))
def test_no_choice_of_pins_and_rods_has_a_smaller_spread(count, seed):
    chance = np.random.default_rng(10 * count + seed)
    lists = [np.round(chance.normal(mean, by, count), 1) for mean, by in ((345, 0.8), (92, 0.4), (148, 0.7))]
    found = match(*lists)
    assert found.spread == pytest.approx(spreads(*lists), abs=1e-6)
    assert found.proved
    assert match(*lists) == found


@pytest.mark.parametrize("seed", range(4))
def test_the_next_best_match_is_the_best_of_all_others(seed):
    chance = np.random.default_rng(seed)
    lists = [np.round(chance.normal(mean, by, 4), 1) for mean, by in ((345, 0.8), (92, 0.4), (148, 0.7))]
    found = match(*lists)
    chosen = lists[1][list(found.pins)], lists[2][list(found.rods)]
    others = []
    for to_pins, to_rods in itertools.product(itertools.permutations(range(4)), repeat=2):
        placed = lists[1][list(to_pins)], lists[2][list(to_rods)]
        if any(np.any(a != b) for a, b in zip(placed, chosen, strict=True)):
            others.append(np.ptp(lists[0] + placed[0] + placed[1]))
    assert next_best(*lists, found) == pytest.approx(min(others), abs=1e-6)


def test_parts_that_match_already_stay_where_they_are():
    found = match([345.0] * 4, [92.0] * 4, [148.0] * 4)
    assert (found.pins, found.rods, found.spread) == ((0, 1, 2, 3), (0, 1, 2, 3), 0.0)


def test_twelve_cylinders_take_seconds():
    chance = np.random.default_rng(0)
    lists = [np.round(chance.normal(mean, by, 12), 1) for mean, by in ((345, 0.8), (92, 0.4), (148, 0.7))]
    start = time.perf_counter()
    found = match(*lists)
    assert found.spread <= 0.1 + 1e-9
    assert time.perf_counter() - start < 60
