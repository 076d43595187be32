"""What each reading does to four figures, by a library that differentiates, against the core's guards.

The equations are told again in the library's numbers; the core is moved reading by reading.
"""

import math

import numpy as np
import pytest
from uncertainties import ufloat

from tests.external import simulated_gauges as gauges
from validators.reference import (
    compression,
    deck,
    head_clearance,
    main_clearances,
    pistons,
    rod_clearances,
    uncertainty,
    volumes,
)
from validators.reference.fits import (
    fit_guard,
    main_clearance_guard,
    main_clearance_uncertainty,
    wall_uncertainty,
)
from validators.reference.words import YesNo

MM, CM3 = 1e-3, 1e-6
NONE = float("nan")


def circle(diameter):
    return math.pi * (diameter / 2) ** 2


def ratio_told_again(chamber, crown, front, rear, bore):
    """Compression ratio from its readings: everything over the piston at bottom and at top."""
    over = chamber + crown + circle(87 * MM) * 1.0 * MM - circle(bore) * (front + rear) / 2
    over = over + (circle(bore) - circle(85.2 * MM)) * 6 * MM
    return 1 + circle(bore) * 86 * MM / over


def ratio_of_the_core(chamber, crown, front, rear, bore):
    clearance = deck.deck_clearance_mean(front, rear, NONE, NONE)
    other = volumes.other_volume(
        volumes.gasket_volume(87 * MM, 1.0 * MM),
        volumes.deck_volume(bore, clearance),
        crown,
        volumes.crevice_volume(YesNo.YES, bore, 85.2 * MM, 6 * MM),
    )
    held = volumes.clearance_volume(chamber, other)
    return compression.compression_ratio(volumes.swept_volume(bore, 86 * MM), held)


def head_of_the_core(front, rear):
    clearance = deck.deck_clearance_mean(front, rear, NONE, NONE)
    return head_clearance.head_clearance_static(1.0 * MM, clearance, 0)


CASES = {
    # figure: told again, by the core, readings
    "compression_ratio": (
        ratio_told_again,
        ratio_of_the_core,
        {"chamber": 42 * CM3, "crown": 5 * CM3, "front": -0.2 * MM, "rear": -0.23 * MM, "bore": 86.01 * MM},
    ),
    "head_clearance_static": (
        lambda front, rear: 1.0 * MM - (front + rear) / 2,
        head_of_the_core,
        {"front": -0.2 * MM, "rear": -0.23 * MM},
    ),
    "piston_clearance": (
        lambda bore, piston: bore - piston,
        pistons.piston_clearance,
        {"bore": 86.010 * MM, "piston": 85.955 * MM},
    ),
    "main_clearance": (
        lambda housing, upper, lower, journal: housing - upper - lower - journal,
        main_clearances.main_clearance_computed,
        {"housing": 64.01 * MM, "upper": 1.98 * MM, "lower": 1.984 * MM, "journal": 59.99 * MM},
    ),
    "rod_clearance": (
        lambda housing, upper, lower, journal: housing - upper - lower - journal,
        rod_clearances.rod_clearance_computed,
        {"housing": 52.01 * MM, "upper": 1.48 * MM, "lower": 1.484 * MM, "journal": 48.99 * MM},
    ),
}


@pytest.mark.parametrize("name", CASES)
@pytest.mark.outside(
    source="uncertainties", place="derivatives of ufloat, reading by reading", covers="one engine, 86 x 86 mm"
)
def test_what_each_reading_does(name):
    told_again, core, readings = CASES[name]
    unsure = {reading: ufloat(value, 1e-9 * abs(value)) for reading, value in readings.items()}
    figure = told_again(*unsure.values())
    assert core(*readings.values()) == pytest.approx(figure.nominal_value, rel=1e-12)
    for reading, value in readings.items():
        step = 1e-4 * abs(value)
        up, down = (core(*(readings | {reading: value + side * step}).values()) for side in (1, -1))
        slope = figure.derivatives[unsure[reading]]
        assert (up - down) / (2 * step) == pytest.approx(slope, rel=1e-4), reading


def size_with_errors(instrument, common=None):
    """Errors of one size at 20 °C: reading, certificate, thermometers and expansion, in first order."""
    reading = ufloat(0, float(instrument.reading_uncertainty))
    certificate, part_at, gauge_at, part_grows, gauge_grows = common or errors_in_common(instrument)
    warm, scale = gauges.PART - gauges.TWENTY, gauges.GAUGE - gauges.TWENTY
    return instrument.nominal + reading + certificate + instrument.nominal * (
        (instrument.own_expansion * gauge_at + gauge_grows * scale)
        - (instrument.expansion * part_at + part_grows * warm)
    )


def errors_in_common(instrument):
    room = gauges.BOUND / math.sqrt(3)
    return (
        ufloat(0, instrument.certificate / 2),
        ufloat(0, room),
        ufloat(0, room),
        ufloat(0, gauges.EXPANSION_UNCERTAINTY),
        ufloat(0, gauges.EXPANSION_UNCERTAINTY),
    )


@pytest.mark.outside(source="uncertainties", place="ufloat, hole minus shaft", covers="a bore and a piston")
def test_guard_of_a_piston_clearance():
    clearance = size_with_errors(gauges.BORE) - size_with_errors(gauges.PISTON)
    guard = fit_guard(gauges.FACTOR, gauges.fit_of(gauges.BORE, gauges.PISTON))
    assert guard == pytest.approx(2 * clearance.std_dev, rel=1e-9)


@pytest.mark.outside(source="uncertainties", place="ufloat, housing, walls, journal", covers="one bearing")
def test_guard_of_a_bearing_clearance():
    """Two walls of one gauge: read apart, every other error twice over."""
    common = errors_in_common(gauges.WALL)
    walls = size_with_errors(gauges.WALL, common) + size_with_errors(gauges.WALL, common)
    clearance = size_with_errors(gauges.HOUSING) - walls - size_with_errors(gauges.JOURNAL)
    wall = wall_uncertainty(
        gauges.WALL.reading_uncertainty,
        gauges.WALL.calibration_uncertainty,
        gauges.WALL.temperature_uncertainty,
        gauges.WALL.expansion_term,
    )
    both = main_clearance_uncertainty(gauges.fit_of(gauges.HOUSING, gauges.JOURNAL), wall)
    assert main_clearance_guard(gauges.FACTOR, both) == pytest.approx(2 * clearance.std_dev, rel=1e-9)


def test_what_the_guards_of_height_and_ratio_leave_out_is_small():
    """The guard counts a mean of two heights as one reading, and takes the bore as known.

    The first makes it too wide, the second too narrow by less; together it is never too narrow.
    """
    height, certificate = gauges.DEPTH, ufloat(0, gauges.DEPTH.certificate / 2)
    front, rear = (
        value + certificate + ufloat(0, float(height.reading_uncertainty))
        for value in (-0.2 * MM, -0.23 * MM)
    )
    counted = height.plain_guard
    assert 2 * (1.0 * MM - (front + rear) / 2).std_dev <= counted
    poured = uncertainty.volume_guard(2.0, 0.1 * CM3, 0.1 * CM3, 2.0)
    chamber, crown = (ufloat(value * CM3, poured / 2) for value in (42, 5))
    bore = ufloat(86.01 * MM, gauges.BORE.size_guard / 2)
    ratio = ratio_told_again(chamber, crown, front, rear, bore)
    held = 86 * MM * math.pi / 4 * (86.01 * MM) ** 2 / (ratio.nominal_value - 1)
    guard = compression.ratio_guard(
        volumes.swept_volume(86.01 * MM, 86 * MM), held, poured, 86.01 * MM, counted
    )
    assert 2 * ratio.std_dev <= guard
    assert guard <= 1.2 * 2 * ratio.std_dev
    parts = ratio.error_components()
    assert parts[bore] < 0.05 * ratio.std_dev
    assert np.isclose(sum(part**2 for part in parts.values()), ratio.std_dev**2)
