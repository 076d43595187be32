"""Ring gaps round the piston: hand-worked cases, angles of complex numbers, sets by plain lists."""

import cmath
import math
from itertools import product

import numpy as np
import pytest
from uncertainties import ufloat

from validators.reference.ring_grooves import (
    ring_back_clearance,
    ring_back_guard,
    ring_below_land,
    ring_depth_guard,
    ring_side_clearance,
)
from validators.reference.ring_layout import (
    angle_apart,
    angle_off_axis,
    rail_joint_apart,
    ring_dot_across,
    ring_dot_along,
    ring_gap_apart,
    ring_off_pin,
    ring_off_thrust,
    thrust_angle,
    thrust_dot_across,
)
from validators.reference.ring_sets import ring_filed_for, ring_hold_state, ring_set_state
from validators.reference.words import (
    AsDrawn,
    CrankTurn,
    FrontMark,
    HoldState,
    RingSetState,
    RingSideUp,
)

OUTSIDE = pytest.mark.outside(
    source="Python standard library",
    place="angles of complex numbers; sets by plain lists",
    covers="all gaps of a turn",
)

NAN = float("nan")
MM = 1e-3


@pytest.mark.parametrize(("one", "other", "apart"), [(45, 225, 180), (10, 350, 20), (0, 360, 0)])
def test_angles_between_gaps(one, other, apart):
    """Hand-worked cases, wrapped by hand."""
    found = math.degrees(angle_apart(math.radians(one), math.radians(other)))
    assert found == pytest.approx(apart, abs=1e-9)


@pytest.mark.parametrize(
    ("gap", "axis", "off"), [(350, 0, 10), (95, 90, 5), (270, 90, 0), (135, 90, 45), (0, 90, 90)]
)
def test_angles_of_a_gap_from_an_axis(gap, axis, off):
    """Hand-worked cases, wrapped by hand; an axis has two ends."""
    found = math.degrees(angle_off_axis(math.radians(gap), math.radians(axis)))
    assert found == pytest.approx(off, abs=1e-9)


def test_angles_against_complex_numbers():
    """Second route: the argument of a quotient on the unit circle; squared, an axis has one end."""
    random = np.random.default_rng(68)
    for one, other in random.uniform(-10, 10, (300, 2)):
        turn = cmath.exp(1j * one) / cmath.exp(1j * other)
        assert angle_apart(one, other) == pytest.approx(abs(cmath.phase(turn)), abs=1e-12)
        off = abs(cmath.phase(turn**2)) / 2
        assert angle_off_axis(one, other) == pytest.approx(off, abs=1e-12)


def degrees_of(function, *gaps):
    """Call a function of single gaps with degrees, and give degrees back."""
    return np.degrees(function(*(np.radians([gap]) for gap in gaps)))


@OUTSIDE
def test_every_pair_of_neighbours():
    """By hand: top to second, second to upper rail, upper to lower rail, rails to the expander."""
    assert degrees_of(ring_gap_apart, 45, 225, 340, 100) == pytest.approx([180, 115, 120])
    assert degrees_of(rail_joint_apart, 340, 40, 110) == pytest.approx([60, 70])
    assert degrees_of(ring_off_pin, 350, 95) == pytest.approx([10, 85])
    assert degrees_of(ring_off_thrust, 350, 95) == pytest.approx([80, 5])


@OUTSIDE
def test_a_missing_gap_leaves_only_its_own_angles_out():
    """By hand: the second ring's gap belongs to two pairs."""
    found = degrees_of(ring_gap_apart, 45, NAN, 340, 100)
    assert found == pytest.approx([NAN, NAN, 120], nan_ok=True)
    assert degrees_of(ring_off_pin, NAN, 95) == pytest.approx([NAN, 85], nan_ok=True)


@OUTSIDE
def test_the_thrust_side_is_opposite_to_where_the_crankpin_goes():
    """Second route: the pin moves with the turn; seen from above the front is up, the right is east.

    Who looks at the front of an engine that turns clockwise sees the pin leave the top to his
    right. He looks toward the rear, so his right is the left of the drawing.
    """
    front, up = np.array([0.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0])
    for turn, along in ((CrankTurn.CLOCKWISE, -front), (CrankTurn.ANTICLOCKWISE, front)):
        # Clockwise for who looks along -front is a right-handed turn about that line of sight.
        pin = np.cross(along, up)
        thrust = -pin
        angle = math.atan2(thrust[0], thrust[1]) % (2 * math.pi)
        assert thrust_angle(turn) == pytest.approx(angle)
        assert thrust_dot_across(turn, 1.25, 9.0) == pytest.approx(1.25 * thrust[0])
    assert np.isnan(thrust_angle(NAN))
    assert thrust_dot_across(NAN, 1.25, 9.0) == 9.0


@OUTSIDE
def test_the_drawing_against_complex_numbers():
    """Second route: a clockwise turn of the imaginary axis; what is not given is far outside."""
    for gap, radius in product(range(0, 361, 15), (0.38, 0.94)):
        point = radius * 1j * cmath.exp(-1j * math.radians(gap))
        assert ring_dot_across(math.radians(gap), radius, 9.0) == pytest.approx(point.real, abs=1e-12)
        assert ring_dot_along(math.radians(gap), radius, 9.0) == pytest.approx(point.imag, abs=1e-12)
    assert (ring_dot_across(NAN, 0.5, 9.0), ring_dot_along(NAN, 0.5, 9.0)) == (9.0, 9.0)


# ---------------------------------------------------------------- grooves
@OUTSIDE
def test_side_clearance(printed):
    """Hand-worked cases by subtraction, in millimetres and in inches."""
    assert ring_side_clearance(1.240, 1.195) == printed("0.0450000000")
    assert ring_side_clearance(0.0615, 0.0600) == printed("0.0015000000")


@OUTSIDE
def test_back_clearance_and_depth(printed):
    """Hand-worked cases; the first ring stands proud of its land, the second does not."""
    assert ring_back_clearance(86.010, 78.20, 3.65) == printed("0.2550000000")
    assert ring_below_land(85.40, 78.20, 3.65) == printed("-0.0500000000")
    assert ring_below_land(85.40, 78.20, 3.55) == printed("0.0500000000")


@pytest.mark.parametrize(("bore", "width"), [(0.0021, 0.006), (0.004, 0.0001)])
@OUTSIDE
def test_guards_against_the_uncertainties_library(bore, width):
    """Second route: the uncertainties library propagates the same equations."""
    wall, root, land = ufloat(3.65, width), ufloat(78.20, width), ufloat(85.40, width)
    back = (ufloat(86.010, bore) - root) / 2 - wall
    assert ring_back_guard(bore, width) == pytest.approx(back.std_dev, rel=1e-9)
    assert ring_depth_guard(width) == pytest.approx(((land - root) / 2 - wall).std_dev, rel=1e-9)


# ---------------------------------------------------------------- sets and signs
@OUTSIDE
def test_ring_sets_against_plain_lists():
    """Every way to fit four marks, a strange one or none in three bores, against Python's lists."""
    numbers = np.array([1.0, 2.0, 3.0])
    for filed in ([1.0, 2.0, 3.0], [1.0, NAN, 3.0], [1.0, 1.0, 3.0]):
        for fitted in product([1.0, 2.0, 3.0, 8.0, NAN], repeat=3):
            states = ring_set_state(np.array(fitted), np.array(filed))
            bores = ring_filed_for(np.array(fitted), np.array(filed), numbers)
            for place, mark in enumerate(fitted):
                at = [number for number, other in enumerate(filed, 1) if other == mark]
                if math.isnan(mark):
                    word = RingSetState.NOT_NOTED
                elif place + 1 in at:
                    word = RingSetState.THIS_BORE
                else:
                    word = RingSetState.ANOTHER_BORE if at else RingSetState.NO_BORE
                assert states[place] == word
                expected = at[0] if len(at) == 1 else NAN
                assert bores[place] == pytest.approx(expected, nan_ok=True)


@OUTSIDE
def test_rings_and_piston_are_passed_only_when_all_three_are_right():
    """Every combination of words and blanks, said in plain Python."""
    words = product([*RingSideUp, NAN], [*FrontMark, NAN], [*AsDrawn, NAN])
    wrong = (RingSideUp.DOWN, FrontMark.TURNED_ROUND, AsDrawn.OTHERWISE)
    for noted in words:
        if any(word == bad for word, bad in zip(noted, wrong, strict=True)):
            expected = HoldState.PUT_RIGHT
        elif any(math.isnan(word) for word in noted):
            expected = HoldState.NOT_NOTED
        else:
            expected = HoldState.PASSED
        assert ring_hold_state(*noted) == expected
