"""Shop order: hand-worked cases, inverse conversions, vectors, exact decimals."""

import math
from decimal import Decimal

import numpy as np
import pint
import pytest
from scipy.optimize import brentq

from validators.reference.compression import compression_ratio
from validators.reference.constants import CONSTANTS
from validators.reference.honing import (
    crosshatch_angle,
    hone_dial,
    hone_order,
    hone_rate_needed,
    hone_removal,
    hone_shown,
    hone_state,
    hone_stock_left,
)
from validators.reference.measuring import size_at_reference
from validators.reference.shop_order import (
    chamber_ordered,
    chamber_state,
    deck_cut,
    deck_cut_state,
    port_gap_change,
    port_slip,
)
from validators.reference.wanted_ratio import wanted_clearance_volume
from validators.reference.words import CutState, DialSense, EntryForm, HoneState, ReachState

UNITS = pint.UnitRegistry()
NAN = float("nan")
MM = 1e-3
INCH = UNITS.Quantity(1, "inch").to("m").magnitude
CM3 = 1e-6
BELIEVED = tuple(CONSTANTS[key] for key in ("size_lowest", "size_highest", "dial_travel"))


def exactly(figure):
    """Compare with a figure that is exact as printed."""
    return pytest.approx(figure, rel=1e-12, abs=1e-12)


def test_finish_sizes():
    """Hand-worked case: every bore gets the size of its own piston."""
    orders = hone_order(np.array([85.951, 85.949, 85.953, 85.950]), 0.055)
    for found, text in zip(orders, ("86.006", "86.004", "86.008", "86.005"), strict=True):
        assert found == exactly(float(text))


def test_what_a_warm_gauge_must_show(printed):
    """Hand-worked cases: warm block and gauge; equal growth cancels."""
    block, gauge = 1 + 11e-6 * 6, 1 + 11.5e-6 * 4
    assert hone_shown(86.006, block, gauge) == printed("86.00772004")
    equal = 1 + 11e-6 * 2
    order = UNITS.Quantity(4.0402, "inch")
    assert hone_shown(order, equal, equal).to("inch").magnitude == exactly(4.0402)


@pytest.mark.parametrize("sense", list(DialSense))
def test_what_is_shown_reads_back_as_the_order(sense):
    """Second route: the conversion of a reading, run on what the gauge was told to show."""
    part, gauge = 1 + 11e-6 * 6, 1 + 11.5e-6 * 4
    order, setting, error = 86.006 * MM, 86.0 * MM, 0.0013 * MM
    growth = {"part_factor": part, "reference_factor": gauge}
    limits = dict(zip(("size_lowest", "size_highest", "dial_travel"), BELIEVED, strict=True))
    master = {"setting_size": setting, "setting_error": error, "dial_sense": sense}
    shown = hone_shown(order, part, gauge)
    whole = size_at_reference(shown, EntryForm.SIZE, **master, **growth, **limits)
    assert whole == pytest.approx(order, rel=1e-14)
    dial = hone_dial(order, part, gauge, setting, error, sense)
    deviation = size_at_reference(dial, EntryForm.DEVIATION, **master, **growth, **limits)
    assert deviation == pytest.approx(order, rel=1e-14)


def test_dial_target_at_reference_temperature():
    """Hand-worked case turned round: 86.0118 from a ring of 86.0013 is 0.0105 on the dial."""
    target = 86.0118 * MM, 1.0, 1.0, 86.0 * MM, 0.0013 * MM
    assert hone_dial(*target, DialSense.PLUS_IS_BIGGER) / MM == exactly(0.0105)
    assert hone_dial(*target, DialSense.PLUS_IS_SMALLER) / MM == exactly(-0.0105)
    assert math.isnan(hone_dial(*target, NAN))
    assert math.isnan(hone_dial(86.0118 * MM, 1.0, 1.0, NAN, 0.0, DialSense.PLUS_IS_BIGGER))


@pytest.mark.parametrize("unit", [MM, INCH])
@pytest.mark.parametrize(
    ("order", "largest", "allowance", "state"),
    [
        ("3.4060", "3.4000", "0.0050", HoneState.CAN_BE_FINISHED),
        # Exactly the allowance, and exactly nothing, whatever the last binary digit says.
        ("3.4060", "3.4010", "0.0050", HoneState.CAN_BE_FINISHED),
        ("3.4060", "3.4011", "0.0050", HoneState.TOO_LITTLE_LEFT),
        ("3.4060", "3.4060", "0.0050", HoneState.TOO_LITTLE_LEFT),
        ("3.4060", "3.4060", "0.0000", HoneState.CAN_BE_FINISHED),
        ("3.4060", "3.4061", "0.0050", HoneState.ALREADY_TOO_BIG),
        ("3.4060", "3.4061", "nan", HoneState.ALREADY_TOO_BIG),
        ("3.4060", "3.4000", "nan", HoneState.WAITING),
        ("nan", "3.4000", "0.0050", HoneState.WAITING),
        ("3.4060", "nan", "0.0050", HoneState.WAITING),
    ],
)
def test_can_the_bore_be_finished(unit, order, largest, allowance, state):
    """The rule, case by case, in both families of units."""
    left = hone_stock_left(float(order) * unit, float(largest) * unit)
    assert hone_state(left, float(allowance) * unit, unit) == state


@pytest.mark.outside(
    source="Python standard library",
    place="decimal.Decimal",
    covers="every thousandth around both limits",
)
def test_can_the_bore_be_finished_against_exact_decimals():
    """Second route: exact decimals over every thousandth around the two limits."""
    order, allowance = Decimal("86.006"), Decimal("0.050")
    for step in range(-5, 80):
        largest = order - Decimal(step) / 1000
        left = hone_stock_left(float(order) * MM, float(largest) * MM)
        if largest > order:
            expected = HoneState.ALREADY_TOO_BIG
        elif order - largest < allowance:
            expected = HoneState.TOO_LITTLE_LEFT
        else:
            expected = HoneState.CAN_BE_FINISHED
        assert hone_state(left, float(allowance) * MM, MM) == expected


def test_metal_to_remove():
    """Hand-worked case: at the smallest place of the present bore."""
    assert hone_removal(86.006, 85.931) == exactly(0.075)


@pytest.mark.parametrize(
    ("now", "wanted", "cut", "state"),
    [
        (0.42, 0.05, 0.37, CutState.CUT),
        (0.02, 0.20, NAN, CutState.NOT_POSSIBLE),
        (0.20, 0.20, 0.0, CutState.CUT),
        # The stack leaves 0.3 but for the last binary digit: nothing to cut is still a cut.
        (208.0 - 207.7, 0.30, 0.0, CutState.CUT),
        (0.1 + 0.2, 0.3, 0.0, CutState.CUT),
        (0.3, 0.1 + 0.2, 0.0, CutState.CUT),
        (NAN, 0.20, NAN, CutState.WAITING),
        (0.20, NAN, NAN, CutState.WAITING),
    ],
)
def test_deck_cut(now, wanted, cut, state):
    """Hand-worked cases: metal cannot be added."""
    sizes = now * MM, wanted * MM, MM
    assert deck_cut(*sizes) / MM == pytest.approx(cut, abs=1e-12, nan_ok=True)
    assert deck_cut_state(*sizes) == state


@pytest.mark.outside(
    source="Python standard library",
    place="complex numbers turned into the flange",
    covers="a cut of 0.25 at 40 degrees",
)
def test_ports_slip(printed):
    """Hand-worked case, and the cut as a complex number turned into the flange's directions."""
    cut, angle = 0.25, math.radians(40)
    assert port_gap_change(cut, angle) == printed("0.1915111108")
    assert port_slip(cut, angle) == printed("0.1606969024")
    turned = cut * np.exp(1j * angle)
    assert (port_gap_change(cut, angle), port_slip(cut, angle)) == pytest.approx(
        (turned.real, turned.imag), rel=1e-14
    )


@pytest.mark.parametrize(
    ("unit", "bore", "turns", "stroke", "rate", "figure"),
    [
        ("mm", 90, 200, 110, 60, "26.27825076"),
        ("inch", 4.04, 180, 6.0, 55, "32.22749457"),
    ],
)
@pytest.mark.outside(
    source="Python standard library",
    place="complex numbers: the path of a stone",
    covers="hones in both units",
)
def test_crosshatch(unit, bore, turns, stroke, rate, figure, printed):
    """Hand-worked cases; quantities with pint's units, and the stone's path as a complex number."""
    bore, stroke = UNITS.Quantity(bore, unit), UNITS.Quantity(stroke, unit)
    turns, rate = UNITS.Quantity(turns, "1/minute"), UNITS.Quantity(rate, "1/minute")
    angle = crosshatch_angle(bore, turns, stroke, rate).to("degree").magnitude
    assert angle == printed(figure)
    around = (math.pi * bore * turns).to("m/s").magnitude
    along = (2 * stroke * rate).to("m/s").magnitude
    there, back = complex(around, along), complex(around, -along)
    assert angle == pytest.approx(math.degrees(np.angle(there / back)), rel=1e-12)


@pytest.mark.outside(source="scipy", place="optimize.brentq of the angle", covers="one hone")
def test_stroke_rate(printed):
    """Hand-worked case, put back; and scipy's root of the angle."""
    settings = 90 * MM, 200 / 60, 110 * MM
    rate = hone_rate_needed(*settings, math.radians(45))
    assert rate * 60 == printed("106.4692051")
    assert math.degrees(crosshatch_angle(*settings, rate)) == pytest.approx(45, rel=1e-12)
    root = brentq(
        lambda f: crosshatch_angle(*settings, f) - math.radians(45), 0.01, 100, xtol=1e-14
    )
    assert rate == pytest.approx(root, rel=1e-12)


@pytest.mark.parametrize("place", range(4))
@pytest.mark.parametrize("wrong", [0.0, -1.0, NAN])
def test_a_hone_that_stands_still(place, wrong):
    """Settings that are not above nothing give no angle and no rate, and no warning."""
    settings = [0.090, 3.3, 0.110, 1.0]
    settings[place] = wrong
    assert math.isnan(crosshatch_angle(*settings))
    assert math.isnan(hone_rate_needed(*settings))


def test_no_stroke_rate_for_half_a_turn():
    """Grooves along the bore would need strokes without end."""
    assert math.isnan(hone_rate_needed(0.090, 3.3, 0.110, math.pi))


def test_chamber_for_a_ratio(printed):
    """Hand-worked case, and the ratio computed again with the chamber that was ordered."""
    swept = 550.2256059 * CM3
    others = (6.2 + 2.04 - 3.0 + 0.55) * CM3
    wanted = wanted_clearance_volume(swept, 10.5)
    chamber = chamber_ordered(wanted, others)
    assert chamber / CM3 == printed("52.12848484")
    assert chamber_state(wanted, others) == ReachState.CAN_BE_REACHED
    assert compression_ratio(swept, chamber + others) == pytest.approx(10.5, rel=1e-12)


def test_a_ratio_that_no_chamber_reaches():
    """Hand-worked case: the chamber would be -1.05 cubic centimetres."""
    wanted = wanted_clearance_volume(550 * CM3, 20.0)
    assert (wanted - 30 * CM3) / CM3 == pytest.approx(-1.052631579, abs=5e-10)
    assert math.isnan(chamber_ordered(wanted, 30 * CM3))
    assert chamber_state(wanted, 30 * CM3) == ReachState.CANNOT_BE_REACHED
    assert chamber_state(wanted, NAN) == ReachState.WAITING
    assert chamber_state(wanted_clearance_volume(550 * CM3, 1.0), 30 * CM3) == ReachState.WAITING
