"""Deck and rock: hand-worked cases, roots, turned complex numbers, linear programmes."""

import itertools
import math

import numpy as np
import pint
import pytest
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
from validators.reference.rocking import (
    rock_angle,
    rock_fall,
    rock_measured,
    rock_ratio,
    rock_rise,
    rock_state,
)
from validators.reference.words import DeckBasis, RockState

UNITS = pint.UnitRegistry()
NAN = float("nan")
MM = 1e-3
BELIEVED = CONSTANTS["height_lowest"], CONSTANTS["height_highest"]


def exactly(figure):
    """Compare with a figure that is exact as printed."""
    return pytest.approx(figure, rel=1e-12, abs=1e-12)


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
def test_deck_clearance(heights, mean, least):
    """Hand-worked cases; heights over the deck, clearances below it."""
    found = deck_clearance_mean(*heights)
    assert found == exactly(float(mean))
    assert deck_clearance_least(DeckBasis.MEASURED, found, NAN, *heights) == exactly(float(least))


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


def test_rock_measured():
    """Hand-worked cases."""
    assert rock_measured(-0.235, -0.330) == exactly(0.0475)
    assert rock_measured(0.02, -0.06) == exactly(0.04)


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
@pytest.mark.outside(
    source="scipy",
    place="optimize.brentq: width of a turned rectangle",
    covers="the hand-worked pistons, 86 to 103 mm",
)
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
@pytest.mark.outside(
    source="Python standard library",
    place="complex numbers turned about the pin",
    covers="two pistons, 86.010 mm and 4.0403 in",
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


CORNERS = (208.02, 207.99, 207.97, 208.00)  # front left, front right, rear left, rear right


def test_deck_corners(printed):
    """Hand-worked case."""
    assert deck_twist(*CORNERS) == exactly(0.03)
    assert deck_tilt_length(*CORNERS) == exactly(-0.02)
    assert deck_tilt_side(*CORNERS) == pytest.approx(0.0, abs=1e-12)
    assert deck_corner_mean(*CORNERS) == printed("207.995")
    assert deck_corner_spread(*CORNERS) == exactly(0.05)
    assert deck_height_at(0.25, 0.5, *CORNERS) == printed("208.000")


def random_corners(count):
    generator = np.random.default_rng(913)
    return [CORNERS, *(208 + generator.normal(0, 0.03, (count, 4))).tolist()]


PLACES = np.array([(0.0, 0.0), (0.0, 1.0), (1.0, 0.0), (1.0, 1.0)])  # along, across


@pytest.mark.parametrize("corners", random_corners(8))
@pytest.mark.outside(
    source="scipy",
    place="optimize.linprog: least zone between parallel planes",
    covers="random corners 0.03 mm apart",
)
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
@pytest.mark.outside(
    source="numpy",
    place="linalg.lstsq: plane through four corners",
    covers="random corners 0.03 mm apart",
)
def test_tilt_and_twist_against_the_best_plane(corners):
    """Second route: numpy's least-squares plane has the tilts as slopes; half the twist is left."""
    plane = np.column_stack([np.ones(4), PLACES])
    (_, along, across), _, _, _ = np.linalg.lstsq(plane, np.array(corners), rcond=None)
    assert deck_tilt_length(*corners) == pytest.approx(along, abs=1e-10)
    assert deck_tilt_side(*corners) == pytest.approx(across, abs=1e-10)
    left_over = np.array(corners) - plane @ np.linalg.lstsq(plane, np.array(corners), rcond=None)[0]
    assert np.abs(left_over) == pytest.approx(np.full(4, deck_twist(*corners) / 2), abs=1e-10)


@pytest.mark.parametrize("corners", random_corners(4))
@pytest.mark.outside(
    source="scipy",
    place="interpolate.RegularGridInterpolator",
    covers="places over the whole deck",
)
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
