"""Compression ratio: hand-worked cases, volumes by quadrature, roots, an adiabat integrated."""

import math

import numpy as np
import pint
import pytest
from scipy.integrate import dblquad, solve_ivp
from scipy.optimize import brentq
from uncertainties import ufloat

from validators.reference.compression import (
    compression_ratio,
    ratio_guard,
    ratio_spread,
    ratio_spread_guard,
    ratio_spread_percent,
    ratio_state,
)
from validators.reference.constants import CONSTANTS
from validators.reference.volumes import (
    chamber_spread,
    clearance_volume,
    crevice_volume,
    deck_volume,
    gasket_bore_state,
    gasket_volume,
    other_volume,
    swept_volume,
)
from validators.reference.wanted_ratio import (
    chamber_change,
    closing_travel,
    compression_pressure,
    deck_cut_for_ratio,
    deck_for_ratio,
    effective_ratio,
    gasket_for_ratio,
    ratio_per_gasket,
    ratio_per_volume,
    wanted_clearance_volume,
)
from validators.reference.words import GasketFit, RatioState, YesNo

UNITS = pint.UnitRegistry()
NAN = float("nan")
MM = 1e-3
CM3 = 1e-6
BORE, STROKE, GASKET, THICK = 93.0 * MM, 81.0 * MM, 94.0 * MM, 1.0 * MM
LAND, HEIGHT = 92.3 * MM, 6.0 * MM
CROWN, CHAMBER = 2.5 * CM3, 48.0 * CM3


def exactly(figure):
    """Compare with a figure that is exact as printed."""
    return pytest.approx(figure, rel=1e-12, abs=1e-12)


def volumes(delta, bore=BORE, thick=THICK, chamber=CHAMBER):
    """Swept, gasket, deck, crevice and clearance volume of the hand-worked cylinder."""
    swept = swept_volume(bore, STROKE)
    gasket = gasket_volume(GASKET, thick)
    deck = deck_volume(bore, delta)
    crevice = crevice_volume(YesNo.YES, bore, LAND, HEIGHT)
    clearance = clearance_volume(chamber, other_volume(gasket, deck, CROWN, crevice))
    return swept, gasket, deck, crevice, clearance


def round_gap(outer, inner, height):
    """Volume of a ring-shaped gap, by scipy's double integral in polar coordinates."""
    volume, _ = dblquad(lambda r, _: r * height, 0, 2 * math.pi, inner / 2, outer / 2, epsabs=1e-16)
    return volume


def test_ratio_of_a_crown_below_the_deck(printed):
    """Hand-worked case."""
    swept, gasket, deck, crevice, clearance = volumes(0.30 * MM)
    assert swept / CM3 == printed("550.2256059")
    assert gasket / CM3 == printed("6.939778172")
    assert deck / CM3 == printed("2.037872615")
    assert crevice / CM3 == printed("0.6112439746")
    assert clearance / CM3 == printed("60.08889476")
    assert compression_ratio(swept, clearance) == printed("10.15686015")


def test_ratio_of_a_crown_that_protrudes(printed):
    """Hand-worked case."""
    swept, _, deck, _, clearance = volumes(-0.20 * MM)
    assert deck < 0
    assert clearance / CM3 == printed("56.6924404")
    assert compression_ratio(swept, clearance) == printed("10.7054493")


@pytest.mark.outside(
    source="scipy",
    place="integrate.dblquad over the gaps, polar",
    covers="one cylinder of 86 mm",
)
def test_volumes_against_quadrature():
    """Second route: scipy's double integrals over the round gaps."""
    swept, gasket, deck, crevice, _ = volumes(0.30 * MM)
    assert swept == pytest.approx(round_gap(BORE, 0, STROKE), rel=1e-9)
    assert gasket == pytest.approx(round_gap(GASKET, 0, THICK), rel=1e-9)
    assert deck == pytest.approx(round_gap(BORE, 0, 0.30 * MM), rel=1e-9)
    assert crevice == pytest.approx(round_gap(BORE, LAND, HEIGHT), rel=1e-9)


@pytest.mark.parametrize("protrusion", [0.0, 0.20, 0.9])
@pytest.mark.outside(
    source="scipy",
    place="integrate.dblquad over the gaps as they lie",
    covers="crown 0 to 0.9 mm above the deck",
)
def test_a_protruding_crown_against_the_real_gaps(protrusion):
    """Second route: the gaps as they really lie, crown inside the gasket, annulus shortened."""
    protrusion *= MM
    _, _, _, _, clearance = volumes(-protrusion)
    over_the_crown = round_gap(GASKET, 0, THICK - protrusion)
    around_the_crown = round_gap(GASKET, LAND, protrusion)
    below_the_deck = round_gap(BORE, LAND, HEIGHT - protrusion)
    real = CHAMBER + CROWN + over_the_crown + around_the_crown + below_the_deck
    assert clearance == pytest.approx(real, rel=1e-9)


@pytest.mark.outside(
    source="pint",
    place="cubic inches to cubic centimetres",
    covers="one cylinder in inches",
)
def test_swept_volume_in_inches(printed):
    """Hand-worked case; quantities with pint's units go through the same line."""
    swept = swept_volume(UNITS.Quantity(4.04, "inch"), UNITS.Quantity(3.55, "inch"))
    assert swept.to("inch^3").magnitude == printed("45.50728906")
    assert swept.to("cm^3").magnitude == printed("745.7308582")


def test_the_crevice_is_counted_or_not():
    """Left out it is nothing, even without sizes; counted it needs them; unsaid it waits."""
    assert crevice_volume(YesNo.NO, BORE, NAN, NAN) == 0.0
    assert math.isnan(crevice_volume(YesNo.YES, BORE, NAN, HEIGHT))
    assert math.isnan(crevice_volume(YesNo.YES, BORE, LAND, NAN))
    assert math.isnan(crevice_volume(NAN, BORE, LAND, HEIGHT))


def test_a_missing_crown_volume_is_not_nothing():
    """A blank is not zero."""
    assert math.isnan(other_volume(7.0, 2.0, NAN, 0.6))
    assert math.isnan(clearance_volume(NAN, 12.0))


@pytest.mark.parametrize("clearance", [0.0, -1.0 * CM3, NAN])
def test_no_ratio_without_a_clearance_volume(clearance):
    """Nothing over the piston, or less: no ratio and nothing that follows from it; no warning."""
    figures = (
        compression_ratio(550 * CM3, clearance),
        ratio_guard(550 * CM3, clearance, 0.1 * CM3, BORE, 10e-6),
        ratio_per_volume(550 * CM3, clearance),
        effective_ratio(clearance, BORE, 0.07),
    )
    assert np.all(np.isnan(figures))


def test_what_to_change_for_a_ratio(printed):
    """Hand-worked case: gasket, deck clearance or chamber for a ratio of 10."""
    swept, gasket, deck, crevice, clearance = volumes(0.30 * MM)
    wanted = wanted_clearance_volume(swept, 10.0)
    by_gasket = gasket_for_ratio(wanted, CHAMBER, deck, CROWN, crevice, GASKET)
    by_deck = deck_for_ratio(wanted, CHAMBER, gasket, CROWN, crevice, BORE)
    assert by_gasket / MM == printed("1.150910252")
    assert by_deck / MM == printed("0.4541730825")
    assert (CHAMBER + chamber_change(wanted, clearance)) / CM3 == printed("49.04728368")
    assert deck_cut_for_ratio(0.30 * MM, by_deck) / MM == pytest.approx(-0.1541730825, abs=1e-10)


@pytest.mark.parametrize("target", [8.0, 10.0, 10.2, 13.5])
@pytest.mark.outside(source="scipy", place="optimize.brentq of the ratio", covers="wanted ratios 8 to 13.5")
def test_what_to_change_against_roots_of_the_ratio(target):
    """Second route: scipy's root of the ratio itself, one part moved at a time."""

    def ratio_off(part):
        def off(value):
            parts = {"delta": 0.30 * MM, part: value}
            swept, _, _, _, clearance = volumes(**parts)
            return compression_ratio(swept, clearance) - target

        return off

    swept, gasket, deck, crevice, clearance = volumes(0.30 * MM)
    wanted = wanted_clearance_volume(swept, target)
    thick = brentq(ratio_off("thick"), -5 * MM, 10 * MM, xtol=1e-16)
    delta = brentq(ratio_off("delta"), -5 * MM, 10 * MM, xtol=1e-16)
    chamber = brentq(ratio_off("chamber"), 20 * CM3, 100 * CM3, xtol=1e-18)
    found = gasket_for_ratio(wanted, CHAMBER, deck, CROWN, crevice, GASKET)
    assert found == pytest.approx(thick, abs=1e-12)
    found = deck_for_ratio(wanted, CHAMBER, gasket, CROWN, crevice, BORE)
    assert found == pytest.approx(delta, abs=1e-12)
    assert CHAMBER + chamber_change(wanted, clearance) == pytest.approx(chamber, abs=1e-15)


@pytest.mark.parametrize("target", [1.0, 0.5, NAN])
def test_no_ratio_of_one_or_less(target):
    """A ratio of one has no clearance volume."""
    assert math.isnan(wanted_clearance_volume(550 * CM3, target))


def test_sensitivities(printed):
    """Hand-worked case, and numerical derivatives by central differences."""
    swept, _, _, _, clearance = volumes(0.30 * MM)
    per_volume = ratio_per_volume(swept, clearance)
    per_gasket = ratio_per_gasket(per_volume, GASKET)
    assert per_volume * CM3 == printed("-0.1523885601")
    assert per_gasket * MM == printed("-1.057542803")

    def ratio(**changed):
        swept, _, _, _, clearance = volumes(0.30 * MM, **changed)
        return compression_ratio(swept, clearance)

    step = 0.01 * CM3
    by_difference = (ratio(chamber=CHAMBER + step) - ratio(chamber=CHAMBER - step)) / (2 * step)
    assert per_volume == pytest.approx(by_difference, rel=1e-7)
    step = 0.001 * MM
    by_difference = (ratio(thick=THICK + step) - ratio(thick=THICK - step)) / (2 * step)
    assert per_gasket == pytest.approx(by_difference, rel=1e-7)


@pytest.mark.outside(
    source="uncertainties",
    place="ufloat through the volumes",
    covers="one cylinder of 86 mm",
)
def test_uncertainty_of_a_ratio():
    """Second route: the uncertainties library carries chamber, crown and deck height along."""
    swept = swept_volume(BORE, STROKE)
    volume_u, height_u = 0.13 * CM3, 0.011 * MM
    chamber, crown = ufloat(CHAMBER, volume_u), ufloat(CROWN, volume_u)
    delta = ufloat(0.30 * MM, height_u)
    clearance = (
        chamber
        + crown
        + gasket_volume(GASKET, THICK)
        + math.pi / 4 * BORE**2 * delta
        + crevice_volume(YesNo.YES, BORE, LAND, HEIGHT)
    )
    ratio = (swept + clearance) / clearance
    found = ratio_guard(swept, clearance.nominal_value, volume_u, BORE, height_u)
    assert found == pytest.approx(ratio.std_dev, rel=1e-9)


@pytest.mark.outside(source="uncertainties", place="difference of two ufloat", covers="one pair of ratios")
def test_uncertainty_of_the_spread():
    """Second route: the uncertainties library, two independent ratios of the larger uncertainty."""
    difference = ufloat(10.4, 0.031) - ufloat(10.3, 0.031)
    found = ratio_spread_guard(np.array([0.020, 0.031, 0.025]))
    assert found == pytest.approx(difference.std_dev, rel=1e-12)


def test_spread(printed):
    """Hand-worked build: four cylinders; all must be measured."""
    ratios = np.array([10.38469905, 10.32620501, 10.42759187, 10.35787253])
    spread = ratio_spread(ratios)
    assert spread == printed("0.10138686")
    percent = UNITS.Quantity(float(ratio_spread_percent(np.array([spread]), ratios)), "").to(
        "percent"
    )
    assert percent.magnitude == pytest.approx(100 * 0.10138686 / 10.374092115, abs=1e-9)
    assert chamber_spread(np.array([48.0, 48.3, 47.8, 48.1])) == exactly(0.5)
    ratios[2] = NAN
    assert math.isnan(ratio_spread(ratios))
    assert math.isnan(ratio_spread_percent(np.array([spread]), ratios))
    assert math.isnan(chamber_spread(ratios))
    assert math.isnan(ratio_spread_guard(ratios))


@pytest.mark.parametrize(
    ("ratio", "state"),
    [
        (NAN, RatioState.WAITING),
        (4.99, RatioState.SUSPECT),
        (5.0, RatioState.USUAL),
        (20.0, RatioState.USUAL),
        (20.01, RatioState.SUSPECT),
    ],
)
def test_states_of_a_ratio(ratio, state):
    """Hard range 5 to 20, both ends inside."""
    assert ratio_state(ratio, CONSTANTS["ratio_lowest"], CONSTANTS["ratio_highest"]) == state


@pytest.mark.parametrize(
    ("gasket", "bores", "state"),
    [
        (NAN, (93.0, 93.1), GasketFit.WAITING),
        (94.0, (93.0, NAN), GasketFit.WAITING),
        (93.05, (93.0, 93.1), GasketFit.SMALLER_THAN_BORE),
        (93.1, (93.0, 93.1), GasketFit.CLEARS_BORE),
        (94.0, (93.0, 93.1), GasketFit.CLEARS_BORE),
    ],
)
def test_gasket_bore_against_the_bores(gasket, bores, state):
    """The largest bore decides; a gasket bore equal to it clears."""
    found = gasket_bore_state(np.array([gasket]) * MM, np.array(bores) * MM, np.array([MM]))
    assert found == state


def piston_travel(angle, radius, rod, offset):
    """Travel from the true top, by scipy's root of the circle condition."""

    def height(crank):
        upright = radius * math.cos(crank)
        return brentq(
            lambda h: math.hypot(radius * math.sin(crank) + offset, h - upright) - rod,
            upright,
            upright + rod + radius,
            xtol=1e-16,
            rtol=1e-15,
        )

    return height(-math.asin(offset / (rod + radius))) - height(angle)


def test_effective_ratio(printed):
    """Hand-worked case, inlet closing 50 degrees after bottom."""
    travel = closing_travel(STROKE, 136.0 * MM, 0.0, math.radians(50))
    assert travel / MM == printed("70.11891937")
    _, _, _, _, clearance = volumes(0.30 * MM)
    ratio = effective_ratio(clearance, BORE, travel)
    assert ratio == printed("8.926779488")
    pressure = compression_pressure(1.01325, ratio, 1.30)
    assert pressure == printed("17.442947")
    assert pressure - 1.01325 == printed("16.429697")


@pytest.mark.parametrize("offset", [0.0, 0.8, -0.8])
@pytest.mark.parametrize("degrees", [0.0, 50.0, 62.0, 110.0])
@pytest.mark.outside(
    source="scipy",
    place="optimize.brentq of the circle condition",
    covers="0 to 110 degrees, offset -0.8 to 0.8 mm",
)
def test_closing_travel_against_a_root(offset, degrees):
    """Second route: scipy's root for the pin; the angle counts from half a turn of the crank."""
    found = closing_travel(STROKE, 136.0 * MM, offset * MM, math.radians(degrees))
    expected = piston_travel(math.pi + math.radians(degrees), 40.5 * MM, 136.0 * MM, offset * MM)
    assert found == pytest.approx(expected, abs=1e-15, rel=1e-12)


def test_effective_ratio_of_an_inlet_that_closes_at_bottom():
    """Identity: without offset and without delay it is the compression ratio."""
    swept, _, _, _, clearance = volumes(0.30 * MM)
    travel = closing_travel(STROKE, 136.0 * MM, 0.0, 0.0)
    found = effective_ratio(clearance, BORE, travel)
    assert found == pytest.approx(compression_ratio(swept, clearance), rel=1e-12)


@pytest.mark.outside(source="scipy", place="integrate.solve_ivp of dp/p = -n dV/V", covers="one ratio")
def test_compression_pressure_against_an_integrated_polytrope():
    """Second route: scipy integrates dp/p = -n dV/V over the closed part of the stroke."""
    exponent, ratio = 1.30, 8.926779488
    run = solve_ivp(
        lambda volume, pressure: -exponent * pressure / volume,
        (ratio, 1.0),
        [1.01325],
        rtol=1e-11,
        atol=1e-13,
    )
    assert compression_pressure(1.01325, ratio, exponent) == pytest.approx(run.y[0, -1], rel=1e-8)


@pytest.mark.parametrize("ratio", [0.0, -2.0, NAN])
def test_no_pressure_without_a_ratio(ratio):
    """A ratio that cannot be gives no pressure, and no warning."""
    assert math.isnan(compression_pressure(1.01325, ratio, 1.3))


def test_pressure_takes_quantities():
    """Pascal in, pascal out: bar is pint's."""
    found = compression_pressure(UNITS.Quantity(1.01325, "bar"), 8.926779488, 1.30)
    assert found.to("kPa").magnitude == pytest.approx(1744.2947, abs=5e-5)
