"""Piston ring gaps: hand-worked cases, and roots found by scipy."""

import math

import numpy as np
import pint
import pytest
from scipy.optimize import brentq

from validators.reference.rings import (
    ring_gap_action,
    ring_gap_butting,
    ring_gap_hot,
    ring_gap_least,
    ring_gap_most,
    ring_gap_taper_effect,
    ring_gap_to_file,
    ring_gap_used,
    ring_gap_verdict,
    ring_gap_wanted,
)
from validators.reference.words import RingAction, Verdict

UNITS = pint.UnitRegistry()
NAN = float("nan")
INCH = UNITS.Quantity(1, "inch").to("m").magnitude
MM = 1e-3
LARGEST = 3e-3


@pytest.mark.parametrize(
    ("unit", "bore", "factor", "figure"),
    [
        (MM, 86.010, 0.0045, "0.387045"),
        (INCH, 4.0405, 0.0045, "0.01818225"),
        (MM, 93.00691622, 0.0045, "0.41853112"),
        (MM, 93.0079, 0.0045, "0.41853555"),
        (MM, 93.0042, 0.0045, "0.4185189"),
        (INCH, 4.0403, 0.0050, "0.0202015"),
        (INCH, 4.0403, 0.0055, "0.02222165"),
    ],
)
def test_gaps_wanted(unit, bore, factor, figure, printed):
    """Hand-worked cases and builds: a product, the same in both units."""
    assert ring_gap_wanted(bore * unit, factor) / unit == printed(figure)


@pytest.mark.outside(source="pint", place="inch to millimetre", covers="one ring")
def test_a_gap_in_inches_is_the_same_gap_in_millimetres(printed):
    """Hand-worked case, converted by the pint library."""
    gap = UNITS.Quantity(float(ring_gap_wanted(4.0405, 0.0045)), "inch")
    assert gap.to("mm").magnitude == printed("0.46182915")


BUTTING = [
    (MM, 100.0, (11.5e-6, 200.0, 11e-6, 100.0), "0.3761260286"),
    (MM, 86.010, (11.5e-6, 180.0, 21.5e-6, 90.0), "0.03640277811"),
    (INCH, 4.0405, (12e-6, 220.0, 11e-6, 90.0), "0.02088930069"),
    (MM, 93.0, (11.5e-6, 200.0, 11e-6, 90.0), "0.3818619505"),
    (INCH, 4.0403, (11.5e-6, 220.0, 11e-6, 95.0), "0.01880150274"),
]


@pytest.mark.parametrize(("unit", "bore", "heat", "figure"), BUTTING)
def test_gaps_that_just_do_not_butt(unit, bore, heat, figure, printed):
    """Hand-worked cases and builds."""
    assert ring_gap_butting(bore * unit, *heat) / unit == printed(figure)


def hot_gap(gap, bore, ring_alpha, ring_rise, bore_alpha, bore_rise):
    """Gap of a ring that is drawn as an arc: hot circumference less hot arc."""
    arc = 2 * math.pi * (bore / 2) - gap
    return 2 * math.pi * (bore / 2 + bore / 2 * bore_alpha * bore_rise) - (
        arc + arc * ring_alpha * ring_rise
    )


@pytest.mark.parametrize(("unit", "bore", "heat"), [case[:3] for case in BUTTING])
@pytest.mark.outside(
    source="scipy",
    place="optimize.brentq of the hot gap",
    covers="hand-worked rings in both units",
)
def test_gaps_that_just_do_not_butt_against_a_root(unit, bore, heat):
    """Second route: scipy's root of the hot gap."""
    root = brentq(hot_gap, -0.01, 0.01, args=(bore * unit, *heat), xtol=1e-15)
    assert ring_gap_butting(bore * unit, *heat) == pytest.approx(root, rel=1e-9)


@pytest.mark.outside(
    source="scipy",
    place="optimize.brentq of the hot gap",
    covers="200 rings, bores 40 to 200 mm, 0 to 300 K",
)
def test_random_gaps_against_roots():
    """Second route: scipy's roots; where the bore outgrows the ring nothing butts."""
    random = np.random.default_rng(62)
    signs = set()
    for _ in range(200):
        bore = random.uniform(0.04, 0.2)
        heat = (
            random.uniform(9e-6, 14e-6),
            random.uniform(0, 300),
            random.uniform(9e-6, 24e-6),
            random.uniform(0, 200),
        )
        root = brentq(hot_gap, -0.1, 0.1, args=(bore, *heat), xtol=1e-15)
        signs.add(root > 0)
        assert ring_gap_butting(bore, *heat) == pytest.approx(max(0.0, root), abs=1e-12)
        gap = random.uniform(1e-5, 1e-3)
        assert ring_gap_hot(gap, bore, *heat) == pytest.approx(hot_gap(gap, bore, *heat), abs=1e-12)
    assert signs == {True, False}


@pytest.mark.parametrize(
    ("gap", "bore", "heat", "figure"),
    [
        (0.387045, 86.010, (11.5e-6, 180.0, 11e-6, 90.0), "0.09602112828"),
        (0.41853112299, 93.00691622, (11.5e-6, 200.0, 11e-6, 90.0), "0.03672504798"),
    ],
)
def test_gaps_in_service(gap, bore, heat, figure):
    """Hand-worked case and build; the gap of the build is its wanted gap."""
    found = ring_gap_hot(gap * MM, bore * MM, *heat) / MM
    # The second bore is printed to ten digits: 5e-9 mm of bore are 2e-11 mm of hot gap.
    assert found == pytest.approx(float(figure), abs=1e-10)


def test_metal_to_file(printed):
    """Hand-worked cases by subtraction; negative where the gap is already larger."""
    assert ring_gap_to_file(0.387 * MM, 0.340 * MM) / MM == printed("0.0470000000")
    assert ring_gap_to_file(0.387 * MM, 0.410 * MM) / MM == printed("-0.0230000000")
    assert ring_gap_to_file(0.4185315 * MM, 0.42 * MM) / MM == printed("-0.0014685")


def test_taper_shows_in_the_gap(printed):
    """Hand-worked case: pi."""
    assert ring_gap_taper_effect(0.010 * MM) / MM == printed("0.03141592654")


def test_the_least_gap_is_the_larger_of_the_two():
    """The maker's gap, or the one that does not butt; missing if either is."""
    found = ring_gap_least(np.array([0.30, 0.40, NAN, 0.40]), np.array([0.35, 0.35, 0.35, NAN]))
    assert found == pytest.approx([0.35, 0.40, NAN, NAN], nan_ok=True)


GUARD, ALLOWANCE = 0.02 * MM, 0.10 * MM


@pytest.mark.parametrize(
    ("gap", "word", "action"),
    [
        (0.36, Verdict.UNDER, RingAction.FILE),
        (0.379, Verdict.UNDER, RingAction.FILE),
        (0.38, Verdict.TOO_CLOSE, RingAction.MEASURE_AGAIN),
        (0.419, Verdict.TOO_CLOSE, RingAction.MEASURE_AGAIN),
        (0.42, Verdict.WITHIN, RingAction.LEAVE),
        (0.48, Verdict.WITHIN, RingAction.LEAVE),
        (0.481, Verdict.TOO_CLOSE, RingAction.MEASURE_AGAIN),
        (0.52, Verdict.TOO_CLOSE, RingAction.MEASURE_AGAIN),
        (0.521, Verdict.OVER, RingAction.OTHER_RING),
        (0.0, Verdict.NOT_MEASURED, RingAction.NOT_MEASURED),
        (-0.4, Verdict.NOT_MEASURED, RingAction.NOT_MEASURED),
        (3.001, Verdict.NOT_MEASURED, RingAction.NOT_MEASURED),
        (NAN, Verdict.NOT_MEASURED, RingAction.NOT_MEASURED),
    ],
)
def test_verdicts_and_actions(gap, word, action):
    """By hand, least 0.40 mm, largest 0.50 mm, guard 0.02 mm; a gap of nothing is no gap."""
    least, most = 0.40 * MM, ring_gap_most(0.40 * MM, ALLOWANCE)
    used = ring_gap_used(gap * MM, LARGEST)
    found = ring_gap_verdict(used, least, most, GUARD, MM)
    assert found == word
    assert ring_gap_action(found) == action


@pytest.mark.parametrize("missing", [0, 1])
def test_a_gap_without_both_limits_is_not_judged(missing):
    """Least and largest both follow from the bore: without one there is no verdict."""
    limits = [0.40 * MM, 0.50 * MM]
    limits[missing] = NAN
    assert ring_gap_verdict(0.45 * MM, *limits, GUARD, MM) == Verdict.NOT_MEASURED


def test_crossed_limits_are_to_be_checked():
    """A negative allowance, or a gap that butts above the largest."""
    found = ring_gap_verdict(0.45 * MM, 0.50 * MM, 0.40 * MM, GUARD, MM)
    assert found == Verdict.CHECK_LIMITS
    assert ring_gap_action(found) == RingAction.CHECK_LIMITS
