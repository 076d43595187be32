"""What each reading does to four figures, by a library that differentiates, against the core's guards.

The equations are told again in the library's numbers; the core is moved reading by reading.
"""

import math
from decimal import Decimal

import numpy as np
import pytest
from uncertainties import ufloat

from tests.external import simulated_gauges as gauges
from validators.reference import (
    bob_weights,
    compression,
    deck,
    extremes,
    head_clearance,
    main_clearances,
    mass_matching,
    masses,
    pistons,
    ring_grooves,
    rod_bolts,
    rod_clearances,
    rod_films,
    separation,
    springs,
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


def margin_of_the_core(stretch, other, crush, force):
    """Separation margin from the stretch of two bolts, the first the looser."""
    compliance = 4e-9
    preload = rod_bolts.bolt_preload(np.array([stretch, other]), compliance)
    least = separation.rod_preload_least(preload, np.ones(2), 1)
    return separation.separation_margin(least, crush, force)


def bob_of_the_core(piston, pin, rings, locks, small, big, shells):
    """Bob-weight of a pin with two rods of which one has these masses."""
    up = np.array([masses.cylinder_reciprocating_mass(piston, pin, rings, locks, small), 0.6])
    with_crank = np.array([masses.cylinder_rotating_mass(big, shells), 0.45])
    fixed = np.array([0.5]), np.array([0.006]), np.array([1, 1]), np.array([1])
    return float(bob_weights.bob_weight(with_crank, up, *fixed))


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
    "separation_margin": (
        lambda stretch, other, crush, force: (2 * stretch / 4e-9 - crush) / force + 0 * other,
        margin_of_the_core,
        {"stretch": 0.14 * MM, "other": 0.15 * MM, "crush": 5e3, "force": 20e3},
    ),
    "bob_weight": (
        lambda piston, pin, rings, locks, small, big, shells: (
            (big + shells + 0.45) + (piston + pin + rings + locks + small + 0.6) / 2 + 0.006
        ),
        bob_of_the_core,
        {
            "piston": 0.35, "pin": 0.12, "rings": 0.03, "locks": 0.004, "small": 0.17, "big": 0.41,
            "shells": 0.04,
        },
    ),
    "ring_back_clearance": (
        lambda bore, root, wall: (bore - root) / 2 - wall,
        ring_grooves.ring_back_clearance,
        {"bore": 86.01 * MM, "root": 77.6 * MM, "wall": 3.7 * MM},
    ),
    "coil_bind_margin": (
        lambda height, lift, solid: height - lift - solid,
        springs.coil_bind_margin,
        {"height": 42 * MM, "lift": 11 * MM, "solid": 29 * MM},
    ),
    "rod_film_load": (
        lambda force, width, size: force / (width * size),
        rod_films.rod_pressure,
        {"force": 18e3, "width": 20 * MM, "size": 48 * MM},
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


@pytest.mark.outside(
    source="uncertainties", place="ufloat, sums and differences", covers="chambers, masses, ring, rod joint"
)
def test_guards_of_sums_and_differences():
    """Expanded by 2: two volumes, two sums of five weighings, ring behind its land and groove, a joint."""
    volume = [ufloat(42 * CM3, 0.05 * CM3) for _ in range(2)]
    apart = 2 * (volume[0] - volume[1]).std_dev
    assert volumes.chamber_spread_guard(0.1 * CM3) == pytest.approx(apart, rel=1e-9)
    # The guard of masses is that of a difference of two weighings.
    weighed = [ufloat(100e-3, 0.1e-3 / math.sqrt(2)) for _ in range(10)]
    difference = sum(weighed[:5]) - sum(weighed[5:])
    assert mass_matching.reciprocating_guard(0.2e-3) == pytest.approx(2 * difference.std_dev, rel=1e-9)
    bore, root, wall = (ufloat(value * MM, u * MM) for value, u in ((86, 0.002), (77.6, 0.003), (3.7, 0.003)))
    guard = ring_grooves.ring_back_guard(0.004 * MM, 0.006 * MM)
    assert guard == pytest.approx(2 * ((bore - root) / 2 - wall).std_dev, rel=1e-9)
    land = ufloat(85 * MM, 0.003 * MM)
    below = 2 * ((land - root) / 2 - wall).std_dev
    assert ring_grooves.ring_depth_guard(0.006 * MM) == pytest.approx(below, rel=1e-9)
    stretch = ufloat(0.14 * MM, 0.001 * MM)
    guard = separation.separation_guard(0.002 * MM, 4e-9, 20e3)
    assert guard == pytest.approx(2 * ((2 * stretch / 4e-9 - 5e3) / 20e3).std_dev, rel=1e-9)


@pytest.mark.outside(
    source="Python standard library", place="decimal: square root and logarithm", covers="k 0.5 to 4, 1 to 36"
)
@pytest.mark.parametrize("factor", ["0.5", "1.64485363", "2", "4"])
@pytest.mark.parametrize("chances", [1, 2, 3, 4, 6, 16, 36])
def test_guard_of_an_extreme(factor, chances):
    """The root of k squared and twice the logarithm of n, over k, in forty digits."""
    k = Decimal(factor)
    widened = (k * k + 2 * Decimal(chances).ln()).sqrt() / k
    found = extremes.extreme_guard(3e-6, float(factor), chances)
    assert found == pytest.approx(3e-6 * float(widened), rel=1e-13)
