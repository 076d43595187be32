"""Running losses and gaskets: hand-worked cases, integrals, exact decimals, brute force."""

import itertools
import math
from decimal import Decimal

import numpy as np
import pint
import pytest
from scipy.integrate import quad

from validators.reference.gasket_offers import (
    gasket_pick_ratio,
    gasket_pick_volume,
    offer_ratio,
    offer_state,
    offer_volume,
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
from validators.reference.running_losses import (
    main_take_up,
    pin_take_up,
    rod_stretch,
    take_up,
    thermal_rise,
    thermal_rise_counted,
)
from validators.reference.slider_crank import acceleration
from validators.reference.words import GasketState, OfferState, PinFit

UNITS = pint.UnitRegistry()
NAN = float("nan")
MM = 1e-3
INCH = UNITS.Quantity(1, "inch").to("m").magnitude


def exactly(figure):
    """Compare with a figure that is exact as printed."""
    return pytest.approx(figure, rel=1e-12, abs=1e-12)


@pytest.mark.outside(source="scipy", place="integrate.quad: force along the shank", covers="one rod")
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


def test_take_up():
    """Hand-worked cases; the pin counts twice where it floats."""
    assert take_up(0.5, 0.050, 0.047, 0.008) == exactly(0.0525)
    assert take_up(1.0, 0.050, 0.047, 0.008) == exactly(0.105)
    assert pin_take_up(0.0075, 0.0145, PinFit.FLOATING) == exactly(0.022)
    assert pin_take_up(0.0075, NAN, PinFit.PRESSED) == exactly(0.0075)
    assert math.isnan(pin_take_up(0.0075, NAN, PinFit.FLOATING))
    assert math.isnan(pin_take_up(0.0075, 0.0145, NAN))
    assert main_take_up(np.array([0.0474, 0.0545, 0.042, 0.0516, 0.047])) == exactly(0.0545)
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


@pytest.mark.outside(
    source="Python standard library",
    place="decimal.Decimal",
    covers="one engine, aluminium block",
)
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


def test_clearance_at_speed():
    """Hand-worked case: the plain sum is the figure with the heat as computed."""
    parts = 1.0, 0.235, 0.0, 0.069, 0.054
    assert head_clearance_warm(*parts, -0.035) == exactly(1.147)
    # A block that runs away is no gain for the figure that is judged.
    assert head_clearance_speed(*parts, thermal_rise_counted(-0.035)) == exactly(1.112)
    assert offer_speed(*parts, thermal_rise_counted(-0.035)) == exactly(1.112)
    assert head_clearance_speed(*parts, thermal_rise_counted(0.010)) == exactly(1.102)
    assert head_clearance_static(1.0, 0.29, 0.0) == exactly(1.290)
    assert head_clearance_static(1.0, 0.29, -0.1) == exactly(1.190)
    assert offer_static(1.0, 0.29, 0.1) == exactly(1.390)


@pytest.mark.outside(
    source="scipy", place="integrate.quad over the gasket's disc", covers="random cylinders, three gaskets"
)
def test_volume_with_a_gasket():
    """Second route: the disc of the gasket by rings, added to the other volumes in turn."""
    random = np.random.default_rng(12)
    for _ in range(10):
        chamber, deck, crown, crevice = random.uniform(-5e-6, 50e-6, 4)
        across, thick = random.uniform(0.07, 0.11), random.uniform(0.5e-3, 2e-3)
        disc, _ = quad(lambda r, t=thick: 2 * math.pi * r * t, 0, across / 2, epsabs=1e-18)
        for function in (offer_volume, gasket_pick_volume):
            found = function(chamber, deck, crown, crevice, across, thick)
            assert found == pytest.approx(math.fsum([chamber, deck, crown, crevice, disc]), rel=1e-10)


@pytest.mark.parametrize(("volume", "ratio"), [(55e-6, 11.0), (0.0, NAN), (-1e-6, NAN)])
def test_ratio_with_a_gasket_needs_a_volume(volume, ratio):
    """A clearance volume that cannot be gives no ratio and no warning."""
    for function in (offer_ratio, gasket_pick_ratio):
        assert function(550e-6, volume) == pytest.approx(ratio, nan_ok=True)


@pytest.mark.parametrize(
    ("thickness", "clears", "least", "most", "lower", "upper", "word"),
    [
        (NAN, (NAN, NAN), NAN, NAN, 9.0, 11.0, OfferState.NOT_OFFERED),
        (0.8, (1.0, NAN), 10.0, 10.2, 9.0, 11.0, OfferState.NOT_MEASURED),
        (0.8, (1.0, 0.0), 10.0, 10.2, 9.0, 11.0, OfferState.DOES_NOT_CLEAR),
        (0.8, (1.0, 1.0), NAN, NAN, 9.0, 11.0, OfferState.RATIO_NOT_KNOWN),
        (0.8, (1.0, 1.0), 8.9, 10.2, 9.0, 11.0, OfferState.RATIO_OUTSIDE),
        (0.8, (1.0, 1.0), 10.0, 11.1, 9.0, 11.0, OfferState.RATIO_OUTSIDE),
        (0.8, (1.0, 1.0), 9.0, 11.0, 9.0, 11.0, OfferState.CLEARS),
        (0.8, (1.0, 1.0), 2.0, 30.0, NAN, NAN, OfferState.CLEARS),
    ],
)
def test_what_is_said_of_an_offered_gasket(thickness, clears, least, most, lower, upper, word):
    """The rule, case by case."""
    single = [np.array([value]) for value in (least, most, lower, upper)]
    assert offer_state(np.array([thickness]), np.array(clears), *single) == word


def choose(thicknesses, mean, least, losses, limits, banks, guard=0.0, unit=1.0, speed_guard=0.0):
    """Gasket of every bank from the clearances of its cylinders, one loss for all."""
    offered = np.array(thicknesses) * unit
    mean, least = np.array(mean)[:, np.newaxis] * unit, np.array(least)[:, np.newaxis] * unit
    static = offer_static(offered, mean, 0.0)
    speed = offer_speed(offered, least, 0.0, losses * unit, 0.0, 0.0)
    guards = guard * unit, speed_guard * unit
    clears = offer_clears(static, limits[0] * unit, speed, limits[1] * unit, *guards, unit)
    numbers = np.unique(banks)
    counted = offer_passes(clears.T, np.array(banks), numbers[:, np.newaxis, np.newaxis])
    cylinders = np.array([banks.count(number) for number in numbers])[:, np.newaxis]
    passing = offer_thickness_passing(offered, counted, cylinders)
    pick = gasket_pick(passing)
    state = gasket_pick_state(counted, pick[:, np.newaxis])
    return static / unit, speed / unit, pick / unit, state


FOUR = (0.8, 1.0, 1.2, 1.4)


def test_gasket_for_a_crown_below_the_deck():
    """Hand-worked case."""
    static, speed, pick, state = choose(FOUR, [0.25], [0.20], 0.16, (0.95, 0.50), [1])
    assert static[0, 0] == exactly(1.05)
    assert speed[0, 0] == exactly(0.84)
    assert pick[0] == 0.8
    assert state[0] == GasketState.CLEARS


def test_gasket_for_a_crown_that_protrudes():
    """Hand-worked case: the thinner one misses the static figure."""
    static, speed, pick, _ = choose(FOUR, [-0.10], [-0.15], 0.16, (0.95, 0.50), [1])
    assert static[0, 1] == exactly(0.90)
    assert static[0, 2] == exactly(1.10)
    assert speed[0, 2] == exactly(0.89)
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
        at_speed = FOUR, [9.0], [least], 0.0, (0.95, 0.95), [1], 0.0, unit
        assert choose(*at_speed, speed_guard=guard)[2][0] == pytest.approx(0.8)
        assert choose(*at_speed, speed_guard=guard + 1e-6)[2][0] == pytest.approx(1.0)


@pytest.mark.outside(
    source="Python standard library",
    place="decimal.Decimal, every thickness and cylinder",
    covers="60 decks of six cylinders in two banks",
)
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
