"""Deck, rock and gasket: hand-worked cases, roots, turned complex numbers, linear programmes."""

import itertools
import math
from decimal import Decimal

import numpy as np
import pint
import pytest
from scipy.integrate import quad
from scipy.interpolate import RegularGridInterpolator
from scipy.optimize import brentq, linprog

from validators.reference.constants import CONSTANTS
from validators.reference.deck import (
    deck_basis,
    deck_clearance_least,
    deck_clearance_mean,
    deck_reading_used,
    rocked_reading_used,
)
from validators.reference.deck_corners import (
    deck_corner_mean,
    deck_corner_spread,
    deck_height_at,
    deck_tilt_length,
    deck_tilt_side,
    deck_twist,
)
from validators.reference.gaskets import (
    gasket_pick,
    gasket_pick_state,
    offer_clears,
    offer_passes,
    offer_speed,
    offer_static,
    offer_thickness_passing,
)
from validators.reference.head_clearance import (
    head_clearance_speed,
    head_clearance_static,
    head_clearance_warm,
)
from validators.reference.rocking import (
    rock_angle,
    rock_fall,
    rock_measured,
    rock_ratio,
    rock_rise,
    rock_state,
)
from validators.reference.running_losses import (
    main_take_up,
    pin_take_up,
    rod_stretch,
    take_up,
    thermal_rise,
    thermal_rise_counted,
)
from validators.reference.slider_crank import acceleration
from validators.reference.words import DeckBasis, GasketState, PinFit, RockState

UNITS = pint.UnitRegistry()
NAN = float("nan")
MM = 1e-3
INCH = UNITS.Quantity(1, "inch").to("m").magnitude
BELIEVED = CONSTANTS["height_lowest"], CONSTANTS["height_highest"]


@pytest.mark.parametrize("used", [deck_reading_used, rocked_reading_used])
def test_heights_that_can_be_right(used):
    """Hard range -10 to +3 mm, both ends inside."""
    for millimetres in (-10.0, -0.3, 0.0, 3.0):
        assert used(millimetres * MM, *BELIEVED) == pytest.approx(millimetres * MM, abs=1e-18)
    for millimetres in (-10.001, 3.001, 86.0, NAN):
        assert math.isnan(used(millimetres * MM, *BELIEVED))


@pytest.mark.parametrize(
    ("heights", "mean", "least"),
    [
        ((-0.28, -0.30, -0.235, NAN), "0.29", "0.235"),
        ((0.10, 0.14, 0.0, 0.0), "-0.12", "-0.14"),
        ((-0.31, -0.29, -0.255, NAN), "0.30", "0.255"),
        # No full pair over the pin: the rocked pair serves, and every height that is there counts.
        ((-0.20, NAN, -0.235, -0.330), "0.2825", "0.20"),
    ],
)
def test_deck_clearance(heights, mean, least, printed):
    """Hand-worked cases; heights over the deck, clearances below it."""
    found = deck_clearance_mean(*heights)
    assert found == printed(mean)
    assert deck_clearance_least(DeckBasis.MEASURED, found, NAN, *heights) == printed(least)


@pytest.mark.parametrize(
    ("heights", "rise", "basis", "least"),
    [
        ((-0.28, -0.30, -0.235, NAN), 0.042, DeckBasis.MEASURED, 0.235),
        ((-0.28, -0.30, NAN, -0.330), 0.042, DeckBasis.PREDICTED, 0.248),
        ((-0.28, -0.30, NAN, NAN), NAN, DeckBasis.WAITING, NAN),
        ((-0.28, NAN, -0.235, NAN), 0.042, DeckBasis.WAITING, NAN),
        ((NAN, NAN, -0.235, -0.330), NAN, DeckBasis.MEASURED, 0.235),
    ],
)
def test_where_the_rocked_figure_comes_from(heights, rise, basis, least):
    """The rule, case by case: a reading wins, the predicted rise serves without it."""
    mean = deck_clearance_mean(*heights)
    found = deck_basis(mean, heights[2], rise)
    assert found == basis
    assert deck_clearance_least(found, mean, rise, *heights) == pytest.approx(least, nan_ok=True)


def test_rock_measured(printed):
    """Hand-worked cases."""
    assert rock_measured(-0.235, -0.330) == printed("0.0475")
    assert rock_measured(0.02, -0.06) == printed("0.04")


ROCKING = [
    ("mm", 86.010, 85.955, 50.0, "0.00110104225"),
    ("inch", 4.0445, 4.0400, 2.20, "0.002049312048"),
    ("inch", 4.0403, 4.0352, 2.30, "0.002221723122"),
]


@pytest.mark.parametrize(("unit", "bore", "piston", "skirt", "figure"), ROCKING)
def test_rock_angle(unit, bore, piston, skirt, figure, printed):
    """Hand-worked cases; quantities with pint's units go through the same line."""
    sizes = [UNITS.Quantity(size, unit) for size in (bore, piston, skirt)]
    assert rock_angle(*sizes).to("rad").magnitude == printed(figure)


def test_rock_angle_in_degrees(printed):
    """Hand-worked case."""
    assert math.degrees(rock_angle(86.010, 85.955, 50.0)) == printed("0.06308507397")


@pytest.mark.parametrize(("bore", "piston", "skirt"), [case[1:4] for case in ROCKING])
def test_rock_angle_against_a_root_of_the_contact_equation(bore, piston, skirt):
    """Second route: scipy's root of the width of a turned rectangle, less the bore."""

    def too_wide(angle):
        corners = [
            (complex(x, y) * np.exp(1j * angle)).real
            for x, y in itertools.product((-piston / 2, piston / 2), (-skirt / 2, skirt / 2))
        ]
        return max(corners) - min(corners) - bore

    root = brentq(too_wide, 0.0, 0.1, xtol=1e-15)
    assert rock_angle(bore, piston, skirt) == pytest.approx(root, abs=1e-13)


def test_a_skirt_that_could_turn_over():
    """A bore wider than the skirt's diagonal gives no angle, and no warning."""
    assert math.isnan(rock_angle(100.0, 85.955, 50.0))
    assert math.isnan(rock_angle(86.0, NAN, 50.0))
    # A piston that is too big for its bore cannot rock: a negative angle, and still a figure.
    assert rock_angle(86.0, 86.01, 50.0) < 0


@pytest.mark.parametrize(
    ("bore", "piston", "skirt", "radius", "height", "rise", "fall"),
    [
        (86.010, 85.955, 50.0, 38.0, 31.2, "0.04182068525", "-0.04185850882"),
        (4.0403, 4.0352, 2.30, 1.75, 1.205, "0.003885038295", "-0.003890986"),
    ],
)
def test_crown_edges(bore, piston, skirt, radius, height, rise, fall, printed):
    """Hand-worked cases, and both edges as complex numbers turned about the pin."""
    angle = rock_angle(bore, piston, skirt)
    up, down = rock_rise(angle, radius, height), rock_fall(angle, radius, height)
    assert up == printed(rise)
    assert down == printed(fall)
    # The crown edge, seen from the pin: to the side and up; the piston turns until it lifts.
    edges = [(complex(side, height) * np.exp(1j * angle)).imag for side in (radius, -radius)]
    assert (up, down) == pytest.approx([edge - height for edge in edges], abs=1e-14)


@pytest.mark.parametrize(
    ("measured", "rise", "state"),
    [
        (NAN, 0.04, RockState.NOT_MEASURED),
        (0.04, NAN, RockState.NOT_MEASURED),
        (0.04, 0.0, RockState.NOT_MEASURED),
        (0.04, -0.01, RockState.NOT_MEASURED),
        (0.0119, 0.04, RockState.NOT_ROCKED_FULLY),
        (0.012, 0.04, RockState.AS_PREDICTED),
        (0.06, 0.04, RockState.AS_PREDICTED),
        (0.0601, 0.04, RockState.WORN),
    ],
)
def test_states_of_the_rock(measured, rise, state):
    """The rule, case by case: believed from 0.3 to 1.5 of what is predicted."""
    ratio = rock_ratio(measured, rise)
    limits = CONSTANTS["rock_ratio_lowest"], CONSTANTS["rock_ratio_highest"]
    assert rock_state(ratio, *limits) == state


def test_rod_stretch(printed):
    """Hand-worked case, with the acceleration of its own crank, and the force along the shank.

    Second route: scipy's integral of strain over the shank.
    """
    speed = UNITS.Quantity(7000, "rpm").to("rad/s").magnitude
    peak = acceleration(40.5 * MM, 136.0 * MM, 0.0, 0.0, speed)
    assert peak == printed("28243.21555")
    length, area, modulus = 0.100, 120e-6, 206e9
    stretch = rod_stretch(peak, length, area, modulus, 0.628, 0.200)
    assert stretch / MM == printed("0.08317581279")

    def strain(place):
        return peak * (0.628 + 0.200 * place / length) / (modulus * area)

    assert stretch == pytest.approx(quad(strain, 0, length)[0], rel=1e-12)


@pytest.mark.parametrize(
    ("area", "modulus"), [(0.0, 206e9), (120e-6, 0.0), (-1e-6, -1.0), (NAN, 1.0)]
)
def test_no_stretch_of_a_shank_without_stiffness(area, modulus):
    """No area or no modulus: no figure, no warning."""
    assert math.isnan(rod_stretch(28000.0, 0.1, area, modulus, 0.628, 0.2))


def test_take_up(printed):
    """Hand-worked cases; the pin counts twice where it floats."""
    assert take_up(0.5, 0.050, 0.047, 0.008) == printed("0.0525")
    assert take_up(1.0, 0.050, 0.047, 0.008) == printed("0.105")
    assert pin_take_up(0.0075, 0.0145, PinFit.FLOATING) == printed("0.022")
    assert pin_take_up(0.0075, NAN, PinFit.PRESSED) == printed("0.0075")
    assert math.isnan(pin_take_up(0.0075, NAN, PinFit.FLOATING))
    assert math.isnan(pin_take_up(0.0075, 0.0145, NAN))
    assert main_take_up(np.array([0.0474, 0.0545, 0.042, 0.0516, 0.047])) == printed("0.0545")
    assert math.isnan(main_take_up(np.array([0.0474, NAN, 0.042])))


HEAT = (
    (81.0, 11.7e-6, 80.0),
    (136.0, 11.7e-6, 90.0),
    (31.2, 19.4e-6, 160.0),
    (208.0, 21.5e-6, 70.0),
)


def test_thermal_rise(printed):
    """Hand-worked case: an aluminium block runs away from the piston, which is never counted."""
    rise = thermal_rise(*itertools.chain(*HEAT))
    assert rise == printed("-0.0350792")
    assert thermal_rise_counted(rise) == 0.0
    assert thermal_rise_counted(0.00536684) == 0.00536684
    assert math.isnan(thermal_rise_counted(NAN))


def test_thermal_rise_against_decimal_arithmetic():
    """Second route: exact decimals."""
    exact = [
        Decimal(str(size)) * Decimal(str(expansion)) * Decimal(str(rise))
        for size, expansion, rise in HEAT
    ]
    total = exact[0] / 2 + exact[1] + exact[2] - exact[3]
    assert thermal_rise(*itertools.chain(*HEAT)) == pytest.approx(float(total), rel=1e-12)


def test_thermal_rise_in_inches(printed):
    """Hand-worked build: an iron block, quantities with pint's units."""
    sizes = [UNITS.Quantity(size, "inch") for size in (3.55, 6.05, 1.205, 9.045)]
    heat = [(11.7e-6, 80.0), (11.7e-6, 90.0), (22.3e-6, 160.0), (11e-6, 70.0)]
    rise = thermal_rise(
        *itertools.chain(*((size, *pair) for size, pair in zip(sizes, heat, strict=True)))
    )
    assert rise.to("inch").magnitude == printed("0.00536684")


def test_clearance_at_speed(printed):
    """Hand-worked case: the plain sum is the figure with the heat as computed."""
    parts = 1.0, 0.235, 0.0, 0.069, 0.054
    assert head_clearance_warm(*parts, -0.035) == printed("1.147")
    # A block that runs away is no gain for the figure that is judged.
    assert head_clearance_speed(*parts, thermal_rise_counted(-0.035)) == printed("1.112")
    assert offer_speed(*parts, thermal_rise_counted(-0.035)) == printed("1.112")
    assert head_clearance_speed(*parts, thermal_rise_counted(0.010)) == printed("1.102")
    assert head_clearance_static(1.0, 0.29, 0.0) == printed("1.290")
    assert head_clearance_static(1.0, 0.29, -0.1) == printed("1.190")
    assert offer_static(1.0, 0.29, 0.1) == printed("1.390")


def choose(thicknesses, mean, least, losses, limits, banks, guard=0.0, unit=1.0):
    """Gasket of every bank from the clearances of its cylinders, one loss for all."""
    offered = np.array(thicknesses) * unit
    mean, least = np.array(mean)[:, np.newaxis] * unit, np.array(least)[:, np.newaxis] * unit
    static = offer_static(offered, mean, 0.0)
    speed = offer_speed(offered, least, 0.0, losses * unit, 0.0, 0.0)
    clears = offer_clears(static, limits[0] * unit, speed, limits[1] * unit, guard * unit, unit)
    numbers = np.unique(banks)
    counted = offer_passes(clears.T, np.array(banks), numbers[:, np.newaxis, np.newaxis])
    cylinders = np.array([banks.count(number) for number in numbers])[:, np.newaxis]
    passing = offer_thickness_passing(offered, counted, cylinders)
    pick = gasket_pick(passing)
    state = gasket_pick_state(counted, pick[:, np.newaxis])
    return static / unit, speed / unit, pick / unit, state


FOUR = (0.8, 1.0, 1.2, 1.4)


def test_gasket_for_a_crown_below_the_deck(printed):
    """Hand-worked case."""
    static, speed, pick, state = choose(FOUR, [0.25], [0.20], 0.16, (0.95, 0.50), [1])
    assert static[0, 0] == printed("1.05")
    assert speed[0, 0] == printed("0.84")
    assert pick[0] == 0.8
    assert state[0] == GasketState.CLEARS


def test_gasket_for_a_crown_that_protrudes(printed):
    """Hand-worked case: the thinner one misses the static figure."""
    static, speed, pick, _ = choose(FOUR, [-0.10], [-0.15], 0.16, (0.95, 0.50), [1])
    assert static[0, 1] == printed("0.90")
    assert static[0, 2] == printed("1.10")
    assert speed[0, 2] == printed("0.89")
    assert pick[0] == 1.2


def test_no_gasket_passes():
    """None passes is a state of its own, never the thickest."""
    _, _, pick, state = choose(FOUR, [-0.60], [-0.65], 0.16, (0.95, 0.50), [1])
    assert math.isnan(pick[0])
    assert state[0] == GasketState.NONE_PASSES
    _, _, pick, state = choose(FOUR, [NAN], [0.20], 0.16, (0.95, 0.50), [1])
    assert math.isnan(pick[0])
    assert state[0] == GasketState.NOT_MEASURED


def test_one_cylinder_decides_for_its_bank_only():
    """Every cylinder of the bank must clear; a bank with a blank one waits, the other does not."""
    mean, least = [0.25, 0.25, 0.00, 0.25], [0.20, 0.20, -0.05, 0.20]
    _, _, pick, state = choose(FOUR, mean, least, 0.16, (0.95, 0.50), [1, 2, 1, 2])
    assert pick == pytest.approx([1.0, 0.8])
    mean[0] = NAN
    _, _, pick, state = choose(FOUR, mean, least, 0.16, (0.95, 0.50), [1, 2, 1, 2])
    assert pick == pytest.approx([NAN, 0.8], nan_ok=True)
    assert state.tolist() == [GasketState.NOT_MEASURED, GasketState.CLEARS]


@pytest.mark.parametrize("unit", [MM, INCH])
def test_a_gasket_that_just_clears(unit):
    """Exactly the limit and the uncertainty left over clears, whatever the last bit says."""
    for guard in (0.0, 0.01, 0.03):
        least = 0.95 + guard - 0.8
        _, _, pick, _ = choose(FOUR, [least], [9.0], 0.0, (0.95, 0.5), [1], guard, unit)
        assert pick[0] == pytest.approx(0.8)
        _, _, pick, _ = choose(FOUR, [least - 1e-6], [9.0], 0.0, (0.95, 0.5), [1], guard, unit)
        assert pick[0] == pytest.approx(1.0)


def test_gaskets_against_brute_force():
    """Second route: exact decimals, thickness by thickness and cylinder by cylinder."""
    generator = np.random.default_rng(911)
    offered = [Decimal(text) for text in ("0.6", "0.8", "1.0", "1.2", "1.4")]
    for _ in range(60):
        means = [Decimal(int(n)) / 100 for n in generator.integers(-40, 40, 6)]
        rocks = [Decimal(int(n)) / 100 for n in generator.integers(0, 15, 6)]
        least = [mean - rock for mean, rock in zip(means, rocks, strict=True)]
        banks = [1, 2, 1, 2, 1, 2]
        _, _, pick, _ = choose(
            [float(t) for t in offered],
            [float(mean) for mean in means],
            [float(figure) for figure in least],
            0.16,
            (0.95, 0.50),
            banks,
            0.01,
        )
        for bank in (1, 2):
            of_bank = [i for i, number in enumerate(banks) if number == bank]
            clearing = [
                float(t)
                for t in offered
                if all(
                    t + means[i] >= Decimal("0.96")
                    and t + least[i] - Decimal("0.16") >= Decimal("0.51")
                    for i in of_bank
                )
            ]
            expected = min(clearing) if clearing else NAN
            assert pick[bank - 1] == pytest.approx(expected, nan_ok=True)


CORNERS = (208.02, 207.99, 207.97, 208.00)  # front left, front right, rear left, rear right


def test_deck_corners(printed):
    """Hand-worked case."""
    assert deck_twist(*CORNERS) == printed("0.03")
    assert deck_tilt_length(*CORNERS) == printed("-0.02")
    assert deck_tilt_side(*CORNERS) == pytest.approx(0.0, abs=1e-12)
    assert deck_corner_mean(*CORNERS) == printed("207.995")
    assert deck_corner_spread(*CORNERS) == printed("0.05")
    assert deck_height_at(0.25, 0.5, *CORNERS) == printed("208.000")


def random_corners(count):
    generator = np.random.default_rng(913)
    return [CORNERS, *(208 + generator.normal(0, 0.03, (count, 4))).tolist()]


PLACES = np.array([(0.0, 0.0), (0.0, 1.0), (1.0, 0.0), (1.0, 1.0)])  # along, across


@pytest.mark.parametrize("corners", random_corners(8))
def test_twist_against_a_linear_programme(corners):
    """Second route: scipy's linprog finds the least zone between two parallel planes."""
    plane = np.column_stack([np.ones(4), PLACES])
    margin = np.ones((4, 1))
    above = np.hstack([plane, -margin])
    below = np.hstack([-plane, -margin])
    heights = np.array(corners) - 208
    zone = linprog(
        [0, 0, 0, 2],
        A_ub=np.vstack([above, below]),
        b_ub=np.concatenate([heights, -heights]),
        bounds=[(None, None)] * 3 + [(0, None)],
    )
    assert zone.status == 0
    assert deck_twist(*corners) == pytest.approx(zone.fun, abs=1e-9)


@pytest.mark.parametrize("corners", random_corners(8))
def test_tilt_and_twist_against_the_best_plane(corners):
    """Second route: numpy's least-squares plane has the tilts as slopes; half the twist is left."""
    plane = np.column_stack([np.ones(4), PLACES])
    (_, along, across), _, _, _ = np.linalg.lstsq(plane, np.array(corners), rcond=None)
    assert deck_tilt_length(*corners) == pytest.approx(along, abs=1e-10)
    assert deck_tilt_side(*corners) == pytest.approx(across, abs=1e-10)
    left_over = np.array(corners) - plane @ np.linalg.lstsq(plane, np.array(corners), rcond=None)[0]
    assert np.abs(left_over) == pytest.approx(np.full(4, deck_twist(*corners) / 2), abs=1e-10)


@pytest.mark.parametrize("corners", random_corners(4))
def test_height_at_a_cylinder_against_an_interpolator(corners):
    """Second route: scipy's interpolation on a grid of two by two."""
    grid = RegularGridInterpolator(([0, 1], [0, 1]), np.reshape(corners, (2, 2)))
    for along, across in itertools.product((0.0, 0.13, 0.5, 0.87, 1.0), repeat=2):
        found = deck_height_at(along, across, *corners)
        assert found == pytest.approx(grid((along, across)), abs=1e-10)


@pytest.mark.parametrize("missing", range(4))
def test_deck_needs_all_corners(missing):
    """One corner blank: no figure of the bank."""
    corners = [NAN if index == missing else height for index, height in enumerate(CORNERS)]
    for function in (
        deck_twist,
        deck_tilt_length,
        deck_tilt_side,
        deck_corner_mean,
        deck_corner_spread,
    ):
        assert math.isnan(function(*corners))
    assert math.isnan(deck_height_at(0.25, 0.5, *corners))
