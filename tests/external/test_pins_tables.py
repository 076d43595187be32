"""Pins and small ends: hand-worked cases, the pressfit library, Lamé's constants by numpy and scipy."""

import math
from itertools import product

import numpy as np
import pint
import pytest
from pressfit import fit
from scipy.integrate import solve_bvp
from scipy.optimize import brentq

from validators.reference.press_fits import (
    pin_interference,
    press_holding,
    press_pressure,
    press_rise,
    press_temperature,
)
from validators.reference.retainers import pin_end_clearance, retainer_state, small_end_state
from validators.reference.words import PinFit, RetainerSeat, RetainerState, Verdict

OUTSIDE = pytest.mark.outside(
    source="pressfit",
    place="ISO 286 fits; Lamé's constants by numpy and scipy",
    covers="pins of 15 to 30 mm",
)

UNITS = pint.UnitRegistry()
NAN = float("nan")
MM = 1e-3
PRESSED, FLOATING = PinFit.PRESSED, PinFit.FLOATING


@OUTSIDE
def test_interference_of_a_pressed_pin(printed):
    """Hand-worked case by subtraction; a floating pin has none."""
    assert pin_interference(22.028, 21.998, PRESSED) == printed("0.0300000000")
    assert np.isnan(pin_interference(22.028, 21.998, FLOATING))
    assert np.isnan(pin_interference(22.028, 21.998, NAN))


@pytest.mark.parametrize("spec", ["22 H7/p6", "22 H7/s6", "50 H7/s6"])
@OUTSIDE
def test_interference_at_the_limits_of_a_standard_fit(spec):
    """ISO 286-1 and 286-2 by the pressfit library: loosest and tightest pairs of a press fit."""
    standard = fit(spec)
    (hole_least, hole_most), (pin_least, pin_most) = (
        standard.hole_limits_mm,
        standard.shaft_limits_mm,
    )
    least, most = standard.clearance_um
    assert pin_interference(pin_most, hole_least, PRESSED) * 1e3 == pytest.approx(-least, abs=1e-9)
    assert pin_interference(pin_least, hole_most, PRESSED) * 1e3 == pytest.approx(-most, abs=1e-9)


HEATED = [
    (22.000, 0.030, 0.020, 11.5e-6, "197.6284585"),
    (0.9270, 0.0010, 0.0008, 11.7e-6, "165.961331"),
]


@pytest.mark.parametrize(("eye", "interference", "gap", "alpha", "figure"), HEATED)
@OUTSIDE
def test_heat_for_a_pressed_pin(eye, interference, gap, alpha, figure, printed):
    """Hand-worked cases, and scipy's root: the hot eye is bigger than the pin by the gap."""
    found = press_rise(interference, gap, alpha, eye, 1.0)
    assert found == printed(figure)
    root = brentq(lambda rise: eye * (1 + alpha * rise) - (eye + interference) - gap, 0, 1000)
    assert found == pytest.approx(root, rel=1e-9)


@OUTSIDE
def test_the_temperature_is_the_rise_on_top_of_the_shop():
    """Pint adds a difference of temperatures to degrees Celsius."""
    hot = UNITS.Quantity(20, "degC") + UNITS.Quantity(197.6284585, "delta_degC")
    found = press_temperature(197.6284585, 293.15)
    assert found == pytest.approx(hot.to("kelvin").magnitude)


def by_constants(interference, fit_size, outside, inside, modulus, pin_modulus, poisson):
    """Pressure from Lamé's constants: displacement A r + B / r in each ring, four conditions.

    Plane stress. Nothing presses outside the eye and inside the pin; at the fit both press alike,
    and what the eye gives way and the pin gives way is half the interference.
    """
    radius, outer, inner = fit_size / 2, outside / 2, inside / 2

    def stress(elastic, at):
        return (
            elastic / (1 - poisson**2) * (1 + poisson),
            -elastic / (1 - poisson**2) * (1 - poisson) / at**2,
        )

    rows = np.array(
        [
            [*stress(modulus, outer), 0, 0],
            [0, 0, *stress(pin_modulus, inner)] if inner > 0 else [0, 0, 0, 1],
            [*stress(modulus, radius), *(-part for part in stress(pin_modulus, radius))],
            [radius, 1 / radius, -radius, -1 / radius],
        ]
    )
    scale = np.abs(rows).max(axis=1)
    known = np.array([0, 0, 0, interference / 2])
    eye = np.linalg.solve(rows / scale[:, None], known / scale)[:2]
    return -np.dot(stress(modulus, radius), eye)


STEEL = 206e9
FITS = [
    (0.030, 22.0, 34.0, 13.0, STEEL, STEEL, 0.3),
    (0.030, 22.0, 34.0, 0.0, STEEL, STEEL, 0.3),
    (0.025, 24.0, 40.0, 14.0, 71e9, STEEL, 0.3),
    (0.040, 30.0, 38.0, 20.0, 114e9, STEEL, 0.32),
]


def of_fit(case):
    """Sizes in metres."""
    return (*(size * MM for size in case[:4]), *case[4:])


@OUTSIDE
def test_pressure_of_the_hand_worked_case(printed):
    """Hand-worked case, in megapascals; compared elsewhere by finite differences to 1e-5."""
    assert press_pressure(*of_fit(FITS[0]), MM) / 1e6 == printed("62.23763927")


@pytest.mark.parametrize("case", FITS)
@OUTSIDE
def test_pressure_against_the_constants_of_lame(case):
    """Second route: numpy solves the four conditions of two thick rings."""
    assert press_pressure(*of_fit(case), MM) == pytest.approx(by_constants(*of_fit(case)), rel=1e-9)


@pytest.mark.parametrize("case", [case for case in FITS if case[3]])
@OUTSIDE
def test_pressure_against_the_equation_of_equilibrium(case):
    """Third route: scipy integrates u'' + u'/r - u/r² = 0 in both rings, by unit pressure."""
    interference, fit_size, outside, inside, modulus, pin_modulus, poisson = of_fit(case)

    def gives_way(first, last, elastic):
        """Displacement at the fit per unit of pressure there; lengths in radii of the fit."""
        span = np.linspace(min(first, last), max(first, last), 200)
        factor = 1 / (1 - poisson**2)

        def slope(r, u):
            return np.vstack([u[1], u[0] / r**2 - u[1] / r])

        def ends(low, high):
            press = [
                factor * (edge[1] + poisson * edge[0] / at)
                for edge, at in ((low, span[0]), (high, span[-1]))
            ]
            return np.array([press[0] + (span[0] == 1.0), press[1] + (span[-1] == 1.0)])

        solved = solve_bvp(slope, ends, span, np.zeros((2, span.size)), tol=1e-9, max_nodes=50000)
        assert solved.success
        return solved.sol(1.0)[0] / elastic

    radius = fit_size / 2
    eye = gives_way(1.0, outside / fit_size, modulus)
    pin = gives_way(inside / fit_size, 1.0, pin_modulus)
    pressure = interference / 2 / (radius * (eye - pin))
    assert press_pressure(*of_fit(case), MM) == pytest.approx(pressure, rel=1e-6)


@pytest.mark.parametrize(
    ("place", "value"),
    [(0, 0.0), (0, -0.01), (1, 0.0), (2, 22.0), (3, 22.0), (3, -1.0), (4, 0.0), (5, 0.0), (6, 1.0)],
)
def test_rings_that_cannot_be_have_no_pressure(place, value):
    """No interference, an eye without a wall, a pin without one, a modulus or a ratio of nothing."""
    case = list(FITS[0])
    case[place] = value
    assert np.isnan(press_pressure(*of_fit(case), MM))


@pytest.mark.parametrize("case", [(0.0, 11.5e-6, 22.0), (0.03, 0.0, 22.0), (0.03, 11.5e-6, 0.0)])
def test_no_heat_without_interference_expansion_or_size(case):
    """Each in turn is nothing."""
    interference, alpha, eye = case
    assert np.isnan(press_rise(interference, 0.02, alpha, eye, 1.0))


@OUTSIDE
def test_force_that_the_fit_holds(printed):
    """Hand-worked case in newtons and millimetres: a product."""
    assert press_holding(62.23763927, 22.0, 24.0, 0.12) == pytest.approx(12388.48366, rel=1e-9)
    assert press_holding(1.0, 1.0, 1.0, 1.0) == printed(f"{math.pi:.10f}")


# ---------------------------------------------------------------- floating pins
@OUTSIDE
def test_end_clearance(printed):
    """Hand-worked case by subtraction; a pressed pin needs none."""
    assert pin_end_clearance(58.30, 58.05, FLOATING) == printed("0.2500000000")
    assert np.isnan(pin_end_clearance(58.30, 58.05, PRESSED))


@OUTSIDE
def test_retainers_pass_only_as_two_that_are_seated():
    """Every word, count and blank, said in plain Python."""
    for pin, count, seat in product(
        [FLOATING, PRESSED, NAN], [0.0, 1.0, 2.0, 3.0, NAN], [*RetainerSeat, NAN]
    ):
        if pin == PRESSED:
            expected = RetainerState.NOT_NEEDED
        elif math.isnan(count) or math.isnan(seat):
            expected = RetainerState.NOT_NOTED
        else:
            passed = count == 2 and seat == RetainerSeat.BOTH_ENDS
            expected = RetainerState.PASSED if passed else RetainerState.PUT_RIGHT
        assert retainer_state(pin, count, seat) == expected


@OUTSIDE
def test_the_small_end_is_judged_as_the_pin_sits():
    """By hand."""
    for pressed, floating in product(Verdict, repeat=2):
        assert small_end_state(PRESSED, pressed, floating) == pressed
        assert small_end_state(FLOATING, pressed, floating) == floating
        assert small_end_state(NAN, pressed, floating) == floating
