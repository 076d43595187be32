"""Bores, pistons, pins and pairing: hand-worked cases, integers, enumeration, assignment."""

from decimal import Decimal
from fractions import Fraction
from itertools import permutations, product

import numpy as np
import pint
import pytest
from scipy.optimize import linear_sum_assignment

from validators.reference import bore_form, bores, pairing, pins, pistons
from validators.reference.bores import bore_entry_state, bore_setting_used, plate_state
from validators.reference.words import DialSense, EntryForm, EntryState, PinFit, PlateState

UNITS = pint.UnitRegistry()
NAN = float("nan")
INCH = UNITS.Quantity(1, "inch").to("m").magnitude
BELIEVED = (0.0005, 0.4, 0.0015)


def form_of(size):
    """Every figure of one grid, or of many grids, depth by axis."""
    thrust, pin = size[..., 0], size[..., 1]
    at = bore_form.bore_out_of_round_at(thrust, pin)
    taper = bore_form.bore_taper_of(np.moveaxis(size, -1, -2))
    mean = bores.bore_axis_mean(np.moveaxis(size, -1, -2))
    top, middle, bottom = (thrust[..., depth] for depth in range(3))
    return {
        "least": bores.bore_least(size),
        "greatest": bores.bore_greatest(size),
        "mean": bores.bore_mean(size),
        "thrust_least": bores.bore_thrust_least(thrust),
        "at_top": at[..., 0],
        "at_middle": at[..., 1],
        "at_bottom": at[..., 2],
        "out_of_round": bore_form.bore_out_of_round(at),
        "roundness": bore_form.bore_roundness(bore_form.bore_out_of_round(at)),
        "taper_thrust": taper[..., 0],
        "taper_pin": taper[..., 1],
        "taper": bore_form.bore_taper(taper),
        "trend": bore_form.bore_trend(top, bottom),
        "barrel": bore_form.bore_barrel(top, middle, bottom),
        "mean_thrust": mean[..., 0],
        "mean_pin": mean[..., 1],
    }


# ---------------------------------------------------------------- grids
def test_a_grid(printed):
    """Hand-worked case in whole micrometres."""
    x, y = [86.012, 86.010, 86.006], [86.008, 86.007, 86.005]
    found = form_of(np.array([x, y]).T / 1e3)
    expected = {
        "least": "86.005",
        "greatest": "86.012",
        "mean": "86.00800000",
        "thrust_least": "86.006",
        "at_top": "0.004",
        "at_middle": "0.003",
        "at_bottom": "0.001",
        "out_of_round": "0.004",
        "roundness": "0.002",
        "taper_thrust": "0.006",
        "taper_pin": "0.003",
        "taper": "0.006",
        "trend": "0.006",
        "barrel": "0.001",
        "mean_thrust": "86.00933333",
        "mean_pin": "86.00666667",
    }
    assert set(found) == set(expected)
    for name, figure in expected.items():
        assert found[name] * 1e3 == printed(figure), name


def test_a_grid_of_equal_sizes_has_no_form():
    """By definition: every difference is zero."""
    found = form_of(np.full((3, 2), 0.086))
    for name in ("out_of_round", "taper", "trend", "barrel"):
        assert found[name] == pytest.approx(0.0, abs=1e-15)


def test_the_grid_of_a_worked_build(printed):
    """Hand-worked build, flat four, bore 1: ring 93.0000 +0.0008, liner at 24, ring at 23."""
    dial = np.array([[0.012, 0.009], [0.010, 0.008], [0.007, 0.006]]) / 1e3
    size = bores.bore_size(
        dial,
        EntryForm.DEVIATION,
        0.093,
        0.8e-6,
        DialSense.PLUS_IS_BIGGER,
        1 + 11e-6 * 4,
        1 + 11.5e-6 * 3,
        *BELIEVED,
    )
    found = form_of(size)
    expected = {
        "mean": "93.00858282",
        "out_of_round": "0.002999868006",
        "taper_thrust": "0.00499978001",
        "mean_thrust": "93.00958277",
        "mean_pin": "93.00758286",
        "thrust_least": "93.00691622",
    }
    for name, figure in expected.items():
        # The small differences are of sizes near 93 mm, which a double holds to 1e-14.
        assert found[name] * 1e3 == pytest.approx(
            printed(figure).expected, abs=max(printed(figure).abs, 5e-13)
        ), name


@pytest.mark.outside(
    source="Python standard library",
    place="fractions.Fraction",
    covers="50 random grids, whole tenths of a micrometre",
)
def test_grids_in_exact_fractions():
    """Second route: whole tenths of a micrometre as fractions, over random grids at once."""
    tenths = np.random.default_rng(6).integers(-200, 200, (50, 3, 2))
    found = form_of(0.09 + tenths * 1e-7)
    for number, grid in enumerate(tenths.tolist()):
        x, y = ([Fraction(row[axis]) for row in grid] for axis in (0, 1))
        exact = {
            "least": min(x + y),
            "greatest": max(x + y),
            "mean": sum(x + y) / 6,
            "thrust_least": min(x),
            "mean_thrust": sum(x) / 3,
            "mean_pin": sum(y) / 3,
        }
        for name, value in exact.items():
            assert found[name][number] - 0.09 == pytest.approx(float(value) * 1e-7, abs=1e-16)
        exact = {
            "out_of_round": max(abs(a - b) for a, b in zip(x, y, strict=True)),
            "roundness": max(abs(a - b) for a, b in zip(x, y, strict=True)) / 2,
            "taper_thrust": max(x) - min(x),
            "taper_pin": max(y) - min(y),
            "taper": max(max(x) - min(x), max(y) - min(y)),
            "trend": x[0] - x[2],
            "barrel": x[1] - (x[0] + x[2]) / 2,
        }
        for name, value in exact.items():
            assert found[name][number] == pytest.approx(float(value) * 1e-7, abs=1e-16)


def test_a_grid_with_a_blank_shows_no_provisional_size():
    """A blank on the pin axis leaves the figures of the thrust axis alone."""
    size = np.full((3, 2), 0.086)
    size[1, 1] = NAN
    found = form_of(size)
    waiting = {name for name, value in found.items() if np.isnan(value)}
    assert waiting == {
        "least",
        "greatest",
        "mean",
        "at_middle",
        "out_of_round",
        "roundness",
        "taper_pin",
        "taper",
        "mean_pin",
    }


@pytest.mark.parametrize(
    ("reading", "size", "factor", "word"),
    [
        (0.086, 0.086, 1.0, "COMPLETE"),
        (NAN, NAN, 1.0, "WAITING"),
        (0.086, NAN, NAN, "WAITING"),
        (0.5, NAN, 1.0, "CHECK_ENTRY"),
    ],
)
def test_words_for_entries(reading, size, factor, word):
    """One place of the grid decides for all six; the other three grids are complete."""
    readings, sizes = np.full((4, 3, 2), 0.086), np.full((4, 3, 2), 0.086)
    readings[2, 1, 1], sizes[2, 1, 1] = reading, size
    one = np.array([[[1.0]]])
    found = bore_entry_state(readings, sizes, factor * one, one)
    assert found[2] == EntryState[word]
    if not np.isnan(factor):
        assert found[[0, 1, 3]].tolist() == [EntryState.COMPLETE] * 3


def test_a_bore_may_have_a_setting_of_its_own():
    """A setting typed beside the bore goes before that of the gauge."""
    found = bore_setting_used(np.array([0.0861, NAN]), 0.086)
    assert found.tolist() == [0.0861, 0.086]


@pytest.mark.outside(
    source="Python standard library",
    place="itertools.product and sets",
    covers="every way to fill three bores",
)
def test_words_for_the_torque_plate():
    """Second route: sets of the states, over every way to fill three cells."""
    for states in product([0.0, 1.0, NAN], repeat=3):
        noted = {state for state in states if not np.isnan(state)}
        if len(noted) == 2:
            word = PlateState.MIXED
        elif np.isnan(states).any():
            word = PlateState.NOT_NOTED
        else:
            word = PlateState.ON if noted == {1.0} else PlateState.OFF
        assert plate_state(np.array(states)) == word


# ---------------------------------------------------------------- clearances
def test_piston_clearances(printed):
    """Hand-worked cases by subtraction, in millimetres and in inches."""
    clearance = pistons.piston_clearance(86.010e-3, 85.955e-3)
    assert clearance * 1e3 == printed("0.0550000000")
    assert pistons.piston_clearance_ratio(clearance, 86.010e-3) == printed("0.0006394605278")
    assert pistons.piston_clearance(4.0403 * INCH, 4.0352 * INCH) / INCH == printed("0.0051000000")


def test_the_ratio_of_a_bore_that_cannot_be_is_not_a_number():
    """A bore is larger than nothing."""
    assert np.isnan(pistons.piston_clearance_ratio(55e-6, 0.0))


@pytest.mark.parametrize(
    ("unit", "bore", "piston", "alphas", "celsius", "figure"),
    [
        (1e-3, 86.010, 85.955, (11e-6, 19.4e-6), (110, 130), "-0.04327807"),
        (1e-3, 86.010, 85.955, (21.5e-6, 19.4e-6), (110, 130), "0.03800138"),
        (INCH, 4.0445, 4.0400, (11e-6, 22.3e-6), (100, 130), "-0.00185096"),
        (1e-3, 93.0079, 92.9500, (11e-6, 19.4e-6), (110, 115), "-0.021329029"),
        (1e-3, 93.0042, 92.9460, (11e-6, 19.4e-6), (110, 115), "-0.02102532"),
        (1e-3, 93.0070, 92.9490, (11e-6, 19.4e-6), (110, 115), "-0.021228077"),
        (INCH, 4.0403, 4.0352, (11e-6, 22.3e-6), (110, 115), "0.0005513258"),
        (INCH, 4.0405, 4.0354, (11e-6, 22.3e-6), (110, 115), "0.0005511001"),
    ],
)
def test_hot_clearances(unit, bore, piston, alphas, celsius, figure, printed):
    """Hand-worked cases and builds, made with forty-digit arithmetic."""
    kelvins = (degrees + 273.15 for degrees in celsius)
    found = pistons.piston_clearance_hot(bore * unit, piston * unit, *alphas, *kelvins, 293.15)
    assert found / unit == printed(figure)


def test_pin_clearances(printed):
    """Hand-worked cases by subtraction, in millimetres and in inches."""
    assert pins.piston_pin_clearance(22.006e-3, 21.9985e-3) * 1e3 == printed("0.0075000000")
    floating = PinFit.FLOATING
    found = pins.bush_pin_clearance(22.0130e-3, 21.9985e-3, floating) * 1e3
    assert found == printed("0.0145000000")
    found = pins.bush_pin_clearance(0.9276 * INCH, 0.9270 * INCH, floating) / INCH
    assert found == printed("0.0006000000")


@pytest.mark.parametrize("pin_fit", [PinFit.PRESSED, NAN])
def test_only_a_floating_pin_has_a_clearance_in_its_small_end(pin_fit):
    """A pressed pin has an interference; where nothing is said neither is known."""
    assert np.isnan(pins.bush_pin_clearance(22.0130e-3, 21.9985e-3, pin_fit))


# ---------------------------------------------------------------- pairing
def paired(bore, piston, target):
    """Every figure of the pairing of one list, in the unit of the list."""
    number = np.arange(1.0, len(bore) + 1)
    bore_rank = pairing.pairing_bore_rank(bore, number)
    piston_rank = pairing.pairing_piston_rank(piston, number)
    choice = pairing.pairing_piston(bore_rank, piston_rank, number)
    deviation = pairing.pairing_deviation(bore, piston, choice, number, target)
    now = pairing.pairing_deviation_now(bore, piston, target)
    return {
        "choice": choice,
        "mark": pairing.pairing_mark(choice, number, 100 + number),
        "deviation": deviation,
        "worst": pairing.pairing_worst(deviation),
        "squares": pairing.pairing_squares(deviation),
        "worst_now": pairing.pairing_worst_now(now),
        "squares_now": pairing.pairing_squares_now(now),
    }


EIGHT_BORES = np.array([86.0102, 86.0068, 86.0115, 86.0091, 86.0079, 86.0124, 86.0085, 86.0098])
EIGHT_PISTONS = np.array([85.9541, 85.9568, 85.9529, 85.9557, 85.9549, 85.9573, 85.9535, 85.9562])


def test_pairing_of_eight():
    """Hand-worked case, found among all 40 320 orders."""
    found = paired(EIGHT_BORES, EIGHT_PISTONS, 0.0540)
    assert found["choice"].tolist() == [8, 3, 2, 5, 7, 6, 1, 4]
    assert found["mark"].tolist() == [108, 103, 102, 105, 107, 106, 101, 104]
    assert found["worst"] == pytest.approx(0.0011, abs=1e-12)
    assert found["squares"] == pytest.approx(2.08e-06, abs=1e-15)
    assert found["worst_now"] == pytest.approx(0.0046, abs=1e-12)
    assert found["squares_now"] == pytest.approx(4.53e-05, abs=1e-15)


def test_pairing_of_a_worked_build_with_equal_sizes():
    """Hand-worked build, eight cylinders in inches: equal sizes go by their number."""
    bore = np.array([4.0403, 4.0404, 4.0401, 4.0402, 4.0406, 4.0401, 4.0404, 4.0405])
    piston = np.array([4.0352, 4.0354, 4.0351, 4.0353, 4.0355, 4.0352, 4.0353, 4.0354])
    found = paired(bore, piston, 0.0050)
    assert found["choice"].tolist() == [4, 7, 3, 6, 5, 1, 2, 8]
    assert found["worst"] == pytest.approx(0.0001, abs=1e-12)
    assert found["worst_now"] == pytest.approx(0.0001, abs=1e-12)
    assert found["squares"] == pytest.approx(4e-08, abs=1e-14)
    assert found["squares_now"] == pytest.approx(6e-08, abs=1e-14)


@pytest.mark.outside(
    source="Python standard library",
    place="sorted, which is stable",
    covers="random lists with equal sizes",
)
def test_ranks_count_from_one_and_ties_go_by_number():
    """Second route: Python's stable sort."""
    size = np.random.default_rng(4).integers(0, 4, 9).astype(float)
    order = sorted(range(9), key=lambda place: size[place])
    number = np.arange(1.0, 10.0)
    expected = [order.index(place) + 1 for place in range(9)]
    assert pairing.pairing_bore_rank(size, number).tolist() == expected
    assert pairing.pairing_piston_rank(size, number).tolist() == expected


@pytest.mark.outside(
    source="scipy",
    place="optimize.linear_sum_assignment",
    covers="sets of 2 to 16",
)
def test_pairing_against_assignment():
    """Second route: scipy's linear_sum_assignment on the squares."""
    random = np.random.default_rng(8)
    for size in (2, 5, 8, 12, 16):
        bore, piston = 86 + random.normal(0, 0.004, size), 85.95 + random.normal(0, 0.004, size)
        cost = (bore[:, np.newaxis] - piston - 0.05) ** 2
        rows, columns = linear_sum_assignment(cost)
        found = paired(bore, piston, 0.05)
        assert found["choice"].tolist() == (columns + 1).tolist()
        assert found["squares"] == pytest.approx(cost[rows, columns].sum())


@pytest.mark.outside(
    source="Python standard library",
    place="itertools.permutations, every order",
    covers="300 random sets of five",
)
def test_pairing_against_enumeration():
    """Second route: 300 random sets of five, every order tried."""
    random = np.random.default_rng(5)
    orders = np.array(list(permutations(range(5))))
    for _ in range(300):
        bore, piston = random.integers(0, 12, 5) * 1e-3, random.integers(-60, -48, 5) * 1e-3
        every = bore - piston[orders] - 0.05
        found = paired(bore, piston, 0.05)
        assert sorted(found["choice"]) == [1, 2, 3, 4, 5]
        assert found["worst"] == pytest.approx(np.abs(every).max(axis=1).min(), abs=1e-12)
        assert found["squares"] == pytest.approx((every**2).sum(axis=1).min(), abs=1e-12)


@pytest.mark.outside(
    source="Python standard library", place="max by key, exact decimals", covers="300 random sets, ties"
)
@pytest.mark.parametrize("unit", [1e-3, 0.0254])
def test_clearance_of_the_pair_that_is_furthest_off(unit):
    """Second route: the furthest of the clearances themselves; of two equally far the tighter."""
    random = np.random.default_rng(11)
    target, ties = Decimal("0.054"), 0
    for _ in range(300):
        clearances = [Decimal(int(step)) / 1000 for step in random.integers(48, 61, 6)]
        furthest = max(clearances, key=lambda c: (abs(c - target), -c))
        ties += any(c - target == target - furthest != 0 for c in clearances)
        now = np.array([float(c - target) for c in clearances]) * unit
        found = pairing.pairing_clearance_now(now, np.array([0.054 * unit]), np.array([unit]))
        assert found / unit == pytest.approx(float(furthest), rel=1e-9)
    assert ties > 20


def test_pairing_waits_for_every_size_of_its_own_batch_row():
    """One missing piston leaves its build without a pairing, and the other build alone."""
    piston = np.stack([EIGHT_PISTONS, EIGHT_PISTONS])
    piston[0, 4] = NAN
    number = np.arange(1.0, 9.0)
    bore_rank = pairing.pairing_bore_rank(EIGHT_BORES, number)
    choice = pairing.pairing_piston(
        bore_rank, pairing.pairing_piston_rank(piston, number), number
    )
    assert np.isnan(choice[0]).all()
    assert choice[1].tolist() == [8, 3, 2, 5, 7, 6, 1, 4]
    deviation = pairing.pairing_deviation(EIGHT_BORES, piston, choice, number, 0.054)
    assert np.isnan(deviation[0]).all()
    now = pairing.pairing_deviation_now(EIGHT_BORES, piston, 0.054)
    assert np.isnan(now[0]).tolist() == [number == 5 for number in range(1, 9)]
    assert np.isnan(pairing.pairing_worst_now(now)).tolist() == [True, False]
    assert np.isnan(pairing.pairing_squares_now(now)).tolist() == [True, False]


def test_a_piston_without_a_mark_is_suggested_without_one():
    """The pairing knows sizes; a mark that is not there cannot be printed."""
    number = np.array([1.0, 2.0])
    found = pairing.pairing_mark(np.array([2.0, 1.0]), number, np.array([7.0, NAN]))
    assert np.isnan(found).tolist() == [True, False]
    assert found[1] == 7.0
