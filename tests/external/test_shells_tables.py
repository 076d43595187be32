"""Shells and fits: hand-worked cases, brute force over shell pairs, ISO 286 fits by pressfit."""

import itertools
import math
from collections import Counter
from decimal import Decimal
from functools import partial

import numpy as np
import pint
import pytest
from pressfit import fit

from validators.reference import main_clearances, main_shells, rod_shells, shell_limits, shell_orders
from validators.reference.bearings import grade_of_pair
from validators.reference.constants import CONSTANTS
from validators.reference.main_walls import (
    main_grade_wall_used,
    main_wall_lower_size,
    main_wall_lower_used,
    main_wall_upper_size,
    main_wall_upper_used,
)
from validators.reference.pins import bush_pin_clearance, piston_pin_clearance
from validators.reference.rod_side import rod_side_clearance, rod_widths_on_pin
from validators.reference.rod_walls import (
    rod_grade_wall_used,
    rod_wall_lower_size,
    rod_wall_lower_used,
    rod_wall_upper_size,
    rod_wall_upper_used,
)
from validators.reference.words import EntryForm, PickFit, PinFit, ShellAdvice, ThickerHalf

UNITS = pint.UnitRegistry()
NAN = float("nan")
MM = 1e-3
INCH = UNITS.Quantity(1, "inch").to("m").magnitude
BELIEVED = tuple(CONSTANTS[key] for key in ("size_lowest", "size_highest", "dial_travel"))
SHELLS = pytest.mark.parametrize(
    ("shells", "kind"), [(main_shells, "main"), (rod_shells, "rod")], ids=["main", "rod"]
)


def exactly(figure):
    """Compare with a figure that is exact as printed."""
    return pytest.approx(figure, rel=1e-12, abs=1e-12)


def of(module, kind, name):
    return getattr(module, f"{kind}_{name}")


@pytest.mark.parametrize(
    ("grade_used", "upper_used", "lower_used"),
    [
        (main_grade_wall_used, main_wall_upper_used, main_wall_lower_used),
        (rod_grade_wall_used, rod_wall_upper_used, rod_wall_lower_used),
    ],
)
def test_walls(grade_used, upper_used, lower_used):
    """A measured wall overrides its grade, even where it cannot be right; names match once."""
    names = np.array([11.0, 12.0, NAN, 12.0])
    walls = grade_used(names, np.array([1.981, 1.986, 1.991, 1.996]))
    assert walls == pytest.approx([1.981, 1.986, NAN, 1.996], nan_ok=True)

    def used(function, typed, converted, shell):
        return float(
            function(np.array([typed]), np.array([converted]), np.array([shell]), names, walls)
        )

    for function in (upper_used, lower_used):
        assert used(function, NAN, NAN, 11.0) == 1.981
        assert used(function, NAN, NAN, 12.0) == 1.986
        assert used(function, 1.985, 1.984, 11.0) == 1.984
        assert math.isnan(used(function, 9.0, NAN, 11.0))
        assert math.isnan(used(function, NAN, NAN, NAN))
        assert math.isnan(used(function, NAN, NAN, 13.0))


@pytest.mark.parametrize(
    "size", [main_wall_upper_size, main_wall_lower_size, rod_wall_upper_size, rod_wall_lower_size]
)
@pytest.mark.outside(source="Python standard library", place="decimal.Decimal", covers="one wall, warm")
def test_a_measured_wall_is_converted(size):
    """Second route: exact decimals; wall 11.7e-6 at 25 degrees, gauge 11.5e-6 at 23."""
    part, gauge = 1 + 11.7e-6 * 5, 1 + 11.5e-6 * 3
    exact = Decimal("1.985") * (1 + Decimal("34.5e-6")) / (1 + Decimal("58.5e-6"))
    row = EntryForm.SIZE, NAN, 0.0, NAN, gauge, part
    assert size(1.985 * MM, *row, *BELIEVED) / MM == pytest.approx(float(exact), rel=1e-12)


def in_order(grades):
    """Every pair of grades from 1: equal halves first, then the thinner upper."""
    pairs = itertools.product(range(1, grades + 1), repeat=2)
    return sorted(pairs, key=lambda pair: (pair[0] != pair[1], pair))


def shell_pairs(grades):
    return np.array(in_order(grades)).T


def pick(shells, kind, housing, journal, walls, target, apart, thicker, unit, limits=(NAN, NAN)):
    """Clearance in the unit given, pair number and grades of the nearest pair of each bearing."""
    upper, lower = shell_pairs(len(walls))
    column = np.newaxis
    rules = np.array(apart), np.array(int(thicker))
    option = of(shells, kind, "option_clearance")(
        np.asarray(housing)[:, column, column] * unit,
        np.asarray(journal)[:, column, column] * unit,
        np.asarray(walls) * unit,
        upper[:, column],
        lower[:, column],
        *(rule[column, column] for rule in rules),
    )
    deviation = of(shells, kind, "option_deviation")(option, target * unit)
    scale = np.array([unit])
    bounds = [np.array(limit) * unit for limit in limits]
    within = of(shell_limits, kind, "option_within")(option, deviation, *bounds, scale)
    best = of(shells, kind, "option_best")(option, deviation, within, scale)
    equal = of(shell_limits, kind, "option_equal")(best, upper, lower)
    clearance = of(shells, kind, "pick_clearance")(best, equal)
    pair = of(shells, kind, "pick_pair")(best, clearance[:, column])
    names = 100.0 + np.arange(1, len(walls) + 1)
    number = pair[:, column, column]
    upper_name = of(shells, kind, "pick_upper")(number, upper[:, column], names[column, :])
    lower_name = of(shells, kind, "pick_lower")(number, lower[:, column], names[column, :])
    return clearance / unit, pair, upper_name - 100, lower_name - 100


# Housings, journals, walls of thin, standard and thick shells, wanted clearance.
FIVE_MAINS = (
    (64.006, 64.009, 64.004, 64.008, 64.005),
    (59.987, 59.982, 59.990, 59.984, 59.986),
    (1.981, 1.986, 1.991),
    0.050,
)
BUILD_MAINS = (
    (64.0062, 64.0090, 64.0041, 64.0078, 64.0049),
    (59.9868, 59.9825, 59.9901, 59.9842, 59.9859),
    (1.981, 1.986, 1.991),
    0.050,
)


def brute_force(housing, journal, walls, target, apart, thicker, limits=(None, None)):
    """Nearest pair in exact decimals over all pairs, those within the limits first.

    Ties go to equal halves, then to more clearance, then to the thinner upper.
    """
    lowest, highest = limits
    room = housing - journal
    options = []
    for number, (upper, lower) in enumerate(in_order(len(walls)), 1):
        if abs(upper - lower) > apart:
            continue
        if thicker == ThickerHalf.UPPER and upper < lower:
            continue
        if thicker == ThickerHalf.LOWER and lower < upper:
            continue
        clearance = room - Decimal(str(walls[upper - 1])) - Decimal(str(walls[lower - 1]))
        away = abs(clearance - Decimal(str(target)))
        outside = (lowest is not None and clearance < Decimal(str(lowest))) or (
            highest is not None and clearance > Decimal(str(highest))
        )
        options.append((outside, away, upper != lower, -clearance, number, upper, lower))
    *_, negative, number, upper, lower = min(options)
    return float(-negative), number, upper, lower


@SHELLS
def test_shell_pairs_of_a_build(shells, kind):
    """Hand-worked build: thin/std, std/thick, thin/thin, std/std, thin/std."""
    clearance, _, upper, lower = pick(shells, kind, *BUILD_MAINS, 1, ThickerHalf.EITHER, MM)
    for found, text in zip(
        clearance, ("0.0524", "0.0495", "0.0520", "0.0516", "0.0520"), strict=True
    ):
        assert found == exactly(float(text))
    assert upper.tolist() == [1, 2, 1, 2, 1]
    assert lower.tolist() == [2, 3, 1, 2, 2]


@SHELLS
def test_shell_pairs_of_five_mains(shells, kind):
    """Hand-worked case: standard everywhere, and the worst with unlimited stock, 0.002."""
    standard = [
        main_clearances.main_clearance_computed(housing, 1.986, 1.986, journal)
        for housing, journal in zip(*FIVE_MAINS[:2], strict=True)
    ]
    for found, text in zip(standard, ("0.047", "0.055", "0.042", "0.052", "0.047"), strict=True):
        assert found == exactly(float(text))
    clearance, _, _, _ = pick(shells, kind, *FIVE_MAINS, 1, ThickerHalf.EITHER, MM)
    assert np.max(np.abs(clearance - 0.050)) == exactly(0.002)


@SHELLS
@pytest.mark.parametrize("apart", [0, 1, 2])
@pytest.mark.parametrize("thicker", list(ThickerHalf))
@pytest.mark.parametrize("unit", [MM, INCH])
@pytest.mark.outside(
    source="Python standard library",
    place="decimal.Decimal, every pair",
    covers="random stock full of ties, both units",
)
def test_shell_pairs_against_brute_force(shells, kind, apart, thicker, unit):
    """Second route: every pair in exact decimals, for sizes full of ties."""
    generator = np.random.default_rng(49)
    housing = [64 + Decimal(int(step)) / 1000 for step in generator.integers(0, 14, 40)]
    journal = [60 - Decimal(int(step)) / 1000 for step in generator.integers(9, 21, 40)]
    walls, target = (1.981, 1.9835, 1.986, 1.991), 0.050
    sizes = [float(size) for size in housing], [float(size) for size in journal]
    found = pick(shells, kind, *sizes, walls, target, apart, thicker, unit)
    for index, bearing in enumerate(zip(housing, journal, strict=True)):
        expected = brute_force(*bearing, walls, target, apart, thicker)
        assert [float(part[index]) for part in found] == pytest.approx(expected, abs=1e-9)


@SHELLS
@pytest.mark.parametrize("limits", [(0.049, 0.056), (0.049, None), (None, 0.0495), (0.051, 0.0515)])
@pytest.mark.outside(
    source="Python standard library",
    place="decimal.Decimal, every pair",
    covers="a target near a limit, one limit, and limits that most pairs miss",
)
def test_pairs_within_the_limits_come_first(shells, kind, limits):
    """Second route: every pair in exact decimals; a pair outside is named only where none is within."""
    generator = np.random.default_rng(50)
    housing = [64 + Decimal(int(step)) / 1000 for step in generator.integers(0, 14, 40)]
    journal = [60 - Decimal(int(step)) / 1000 for step in generator.integers(9, 21, 40)]
    walls, target = (1.981, 1.9835, 1.986, 1.991), 0.050
    sizes = [float(size) for size in housing], [float(size) for size in journal]
    bounds = [NAN if limit is None else limit for limit in limits]
    found = pick(shells, kind, *sizes, walls, target, 1, ThickerHalf.EITHER, MM, bounds)
    moved = 0
    for index, bearing in enumerate(zip(housing, journal, strict=True)):
        expected = brute_force(*bearing, walls, target, 1, ThickerHalf.EITHER, limits)
        assert [float(part[index]) for part in found] == pytest.approx(expected, abs=1e-9)
        moved += expected != brute_force(*bearing, walls, target, 1, ThickerHalf.EITHER)
    assert moved


@pytest.mark.parametrize("kind", ["main", "rod"])
@pytest.mark.outside(
    source="Python standard library", place="decimal.Decimal", covers="a clearance at, inside and outside"
)
def test_distance_within_the_limits(kind):
    """At a limit is within it; a limit that is not set excludes nothing."""
    within = of(shell_limits, kind, "option_within")
    for clearance, lower, upper in itertools.product(
        ("0.0299999", "0.03", "0.045", "0.06", "0.0600001"), ("0.03", None), ("0.06", None)
    ):
        exact = Decimal(clearance)
        outside = (lower and exact < Decimal(lower)) or (upper and exact > Decimal(upper))
        away = abs(exact - Decimal("0.05"))
        bounds = [float(limit or "nan") * MM for limit in (lower, upper)]
        found = within(float(clearance) * MM, float(away) * MM, *bounds, MM)
        assert found / MM == pytest.approx(NAN if outside else float(away), rel=1e-9, nan_ok=True)


@pytest.mark.parametrize("kind", ["main", "rod"])
@pytest.mark.parametrize("half", ["upper", "lower"])
@pytest.mark.outside(
    source="Python standard library", place="collections.Counter", covers="thirty cranks, some bearings open"
)
def test_shells_to_order(kind, half):
    """Second route: a counter over the grades that the nearest pairs name, less those that are fitted."""
    generator = np.random.default_rng(7)
    names = np.array([11.0, 12.0, NAN, 14.0])[:, np.newaxis]
    for _ in range(30):
        pairs = generator.choice([1.0, 2.0, 5.0, NAN], 7)
        graded = np.where(np.isnan(pairs), NAN, generator.choice([11.0, 12.0, 14.0], 7))
        fitted = generator.choice([11.0, 12.0, 14.0, NAN], 7)
        wanted = of(shell_orders, kind, f"order_{half}")(names, graded[np.newaxis])
        more = of(shell_orders, kind, f"order_{half}_more")(
            wanted[:, np.newaxis], names, fitted[np.newaxis]
        )
        counted, there = Counter(graded.tolist()), Counter(fitted.tolist())
        for name, number, missing in zip(names[:, 0], wanted, more, strict=True):
            if math.isnan(name) or np.all(np.isnan(pairs)):
                assert math.isnan(number)
                assert math.isnan(missing)
            else:
                assert number == counted[name]
                assert missing == max(0, counted[name] - there[name])
        assert of(shell_orders, kind, "order_open")(pairs) == sum(map(math.isnan, pairs))


@pytest.mark.parametrize("kind", ["main", "rod"])
def test_whether_the_nearest_pair_keeps_the_limits(kind):
    """The rule, case by case."""
    fit_of = of(shell_limits, kind, "pick_fit")
    cases = ((NAN, (NAN, NAN), PickFit.WAITING), (0.05, (NAN, NAN), PickFit.OUTSIDE),
             (0.05, (NAN, 0.001), PickFit.WITHIN))
    for clearance, within, word in cases:
        assert fit_of(np.array([clearance]), np.array(within)) == word


@SHELLS
def test_distance_from_the_wanted_clearance(shells, kind):
    """Hand-worked case: as far below as above, and nothing where either is missing."""
    deviation = of(shells, kind, "option_deviation")
    assert deviation(0.052, 0.050) == exactly(0.002)
    assert deviation(0.047, 0.050) == exactly(0.003)
    assert math.isnan(deviation(NAN, 0.050))
    assert math.isnan(deviation(0.047, NAN))


@SHELLS
def test_unknown_walls_and_rules_offer_no_pair(shells, kind):
    """A missing wall leaves its pairs out; a missing rule leaves all of them out; no warning."""
    housing, journal = (64.006,), (59.987,)
    walls = (NAN, 1.986, NAN)
    clearance, pair, upper, lower = pick(
        shells, kind, housing, journal, walls, 0.050, 1, ThickerHalf.EITHER, MM
    )
    assert (clearance[0], pair[0], upper[0], lower[0]) == pytest.approx((0.047, 2, 2, 2))
    for case in (
        ((NAN, NAN, NAN), 0.050, 1),
        ((1.981, 1.986, 1.991), NAN, 1),
        ((1.981, 1.986, 1.991), 0.050, NAN),
    ):
        found = pick(shells, kind, housing, journal, *case, ThickerHalf.EITHER, MM)
        assert np.all(np.isnan(found))


def test_names_of_the_nearest_pair_may_be_missing():
    """A pair without a number has no name, and a grade without a name gives none."""
    upper = np.array([[1], [1], [2], [2]])
    names = np.array([[11.0, NAN]])
    assert math.isnan(grade_of_pair(np.array([[NAN]]), upper, names))
    assert math.isnan(grade_of_pair(np.array([[3.0]]), upper, names))
    assert grade_of_pair(np.array([[2.0]]), upper, names) == 11.0


@SHELLS
@pytest.mark.parametrize(
    ("sizes", "pair", "picked", "fitted", "advice"),
    [
        ((64.006, 59.987, NAN), NAN, (NAN, NAN), (1.0, 1.0), ShellAdvice.NOT_MEASURED),
        ((NAN, 59.987, 0.050), NAN, (NAN, NAN), (1.0, 1.0), ShellAdvice.NOT_MEASURED),
        ((64.006, NAN, 0.050), NAN, (NAN, NAN), (1.0, 1.0), ShellAdvice.NOT_MEASURED),
        ((64.006, 59.987, 0.050), NAN, (NAN, NAN), (1.0, 1.0), ShellAdvice.NO_PAIR_OFFERED),
        ((64.006, 59.987, 0.050), 5.0, (2.0, 2.0), (2.0, 2.0), ShellAdvice.KEEP),
        ((64.006, 59.987, 0.050), 2.0, (1.0, 2.0), (1.0, 2.0), ShellAdvice.KEEP),
        ((64.006, 59.987, 0.050), 2.0, (1.0, 2.0), (2.0, 1.0), ShellAdvice.ODD_PAIR),
        ((64.006, 59.987, 0.050), 5.0, (2.0, 2.0), (2.0, 1.0), ShellAdvice.CHANGE),
        ((64.006, 59.987, 0.050), 5.0, (2.0, 2.0), (NAN, NAN), ShellAdvice.CHANGE),
        ((64.006, 59.987, 0.050), 2.0, (1.0, 2.0), (NAN, NAN), ShellAdvice.ODD_PAIR),
    ],
)
def test_shell_advice(shells, kind, sizes, pair, picked, fitted, advice):
    """The rule, case by case."""
    assert of(shells, kind, "shell_advice")(*sizes, pair, *picked, *fitted) == advice


def test_side_clearance():
    """Hand-worked cases: one rod on a pin, two rods on a pin, and inches."""
    widths = np.array([25.95, 23.60, 23.60])
    pins, numbers = np.array([1, 2, 2]), np.array([[1], [2]])
    together = rod_widths_on_pin(widths, pins, numbers)
    side = rod_side_clearance(np.array([26.20, 47.55]), together)
    assert side[0] == exactly(0.25)
    assert side[1] == exactly(0.35)
    two = rod_widths_on_pin(np.array([0.9420, 0.9420]), np.array([1, 1]), np.array([[1]]))
    assert rod_side_clearance(1.9030, two)[0] == exactly(0.019)


def test_side_clearance_needs_every_rod_of_its_own_pin():
    """A missing rod blocks its own pin, not the other."""
    widths, pins = np.array([25.95, NAN, 23.60]), np.array([1, 2, 2])
    together = rod_widths_on_pin(widths, pins, np.array([[1], [2]]))
    assert together == pytest.approx([25.95, NAN], nan_ok=True)


@pytest.mark.parametrize(
    "clearance", [piston_pin_clearance, partial(bush_pin_clearance, pin_fit=PinFit.FLOATING)]
)
@pytest.mark.parametrize("spec", ["25 H7/g6", "22 H6/g5", "20 H7/f7", "22 H7/n6", "50 H7/s6"])
@pytest.mark.outside(
    source="pressfit",
    place="ISO 286-1 and 286-2 tables, as the library holds them",
    covers="standard fits, loosest and tightest",
)
def test_hole_minus_shaft_at_the_limits_of_a_standard_fit(clearance, spec):
    """ISO 286-1 and 286-2 by the pressfit library: loosest and tightest pairs of a fit."""
    standard = fit(spec)
    (hole_least, hole_most), (shaft_least, shaft_most) = (
        standard.hole_limits_mm,
        standard.shaft_limits_mm,
    )
    tight, loose = standard.clearance_um
    assert clearance(hole_least, shaft_most) * 1e3 == pytest.approx(tight, abs=1e-9)
    assert clearance(hole_most, shaft_least) * 1e3 == pytest.approx(loose, abs=1e-9)


def test_the_sliding_fit_of_the_standard():
    """ISO 286-2, 25 H7/g6: 7 to 41 micrometres."""
    standard = fit("25 H7/g6")
    tight = piston_pin_clearance(standard.hole_limits_mm[0], standard.shaft_limits_mm[1])
    loose = piston_pin_clearance(standard.hole_limits_mm[1], standard.shaft_limits_mm[0])
    assert tight == exactly(0.007)
    assert loose == exactly(0.041)


@pytest.mark.outside(
    source="pressfit",
    place="ISO 286-2, 64 H6 and 60 g6, as the library holds it",
    covers="one bush",
)
def test_clearance_of_a_plain_bush_at_the_limits_of_a_standard_fit():
    """ISO 286-2 by the pressfit library: a 64 H6 housing, 60 g6 journal, walls of 1.98 and 1.99."""
    housing, journal = fit("64 H6/g6").hole_limits_mm, fit("60 H7/g6").shaft_limits_mm
    tight = main_clearances.main_clearance_computed(housing[0], 1.98, 1.98, journal[1])
    loose = main_clearances.main_clearance_computed(housing[1], 1.98, 1.98, journal[0])
    assert tight == pytest.approx(0.040 + 0.010, abs=1e-9)
    assert loose == pytest.approx(0.040 + 0.010 + 0.019 + 0.019, abs=1e-9)
