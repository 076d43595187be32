"""Slider-crank: hand-worked cases; roots, minima and contour integrals of the circle condition.

The outside route knows one thing only: crankpin and piston pin stay a rod length apart.
"""

import math

import numpy as np
import pytest
from scipy.optimize import brentq, minimize_scalar

from tests.external.circle_condition import extremes, pin_derivatives, pin_height
from validators.reference import slider_crank

RADIUS, ROD, OFFSET = 43.0, 143.0, 0.8  # mm
SPEED = 2 * math.pi * 6500 / 60  # rad/s
ENGINES = [
    (43.0, 143.0, 0.0),
    (43.0, 143.0, 0.8),
    (43.0, 143.0, -0.8),
    (40.5, 136.0, 0.8),
    (45.085, 153.67, 0.0),
    (20.0, 31.0, 5.0),
]


@pytest.mark.parametrize(
    ("offset", "degrees", "travel", "velocity", "acceleration", "tilt"),
    [
        (0.0, 30, "7.386404986", "18.48944419", "20388.68252", "8.647189845"),
        (0.0, 90, "49.61818303", "29.26917156", "-6281.514813", "17.49960958"),
        (0.0, 150, "81.86458971", "10.77972736", "-14118.78057", "8.647189845"),
        (0.8, 30, "7.508665076", "18.63639023", "20343.18904", "8.971552496"),
        (0.8, 90, "49.87128004", "29.26917156", "-6410.357395", "17.83601331"),
        (0.8, 270, "49.36680442", "-29.26917156", "-6153.385142", "-17.16382745"),
        (-0.8, 90, "49.36680442", "29.26917156", "-6153.385142", "17.16382745"),
    ],
)
def test_motion(offset, degrees, travel, velocity, acceleration, tilt, printed):
    """Hand-worked cases, 6500 revolutions per minute."""
    place = RADIUS, ROD, offset, math.radians(degrees)
    assert slider_crank.travel(*place) == printed(travel)
    assert slider_crank.velocity(*place, SPEED) / 1e3 == printed(velocity)
    assert slider_crank.acceleration(*place, SPEED) / 1e3 == printed(acceleration)
    assert math.degrees(slider_crank.rod_tilt(*place)) == printed(tilt)


@pytest.mark.parametrize("engine", ENGINES)
def test_travel_against_roots_of_the_circle_condition(engine):
    """Second route: scipy's root for the pin, scipy's minimiser for the true top."""
    top, _ = extremes(*engine)
    for angle in np.linspace(-1.0, 7.0, 33):
        fallen = pin_height(top, *engine) - pin_height(angle, *engine)
        assert slider_crank.travel(*engine, angle) == pytest.approx(fallen, abs=1e-11)


@pytest.mark.parametrize("engine", ENGINES)
def test_velocity_and_acceleration_against_contour_integrals(engine):
    """Second route: derivatives of the pin height by Cauchy's integral formula."""
    for angle in np.linspace(-1.0, 7.0, 33):
        first, second = pin_derivatives(angle, *engine)
        scale = engine[0] * SPEED
        velocity = slider_crank.velocity(*engine, angle, SPEED)
        acceleration = slider_crank.acceleration(*engine, angle, SPEED)
        assert velocity == pytest.approx(-first * SPEED, rel=1e-9, abs=1e-10 * scale)
        assert acceleration == pytest.approx(
            -second * SPEED**2, rel=1e-9, abs=1e-10 * scale * SPEED
        )


def test_acceleration_at_the_dead_centres_without_offset(printed):
    """Hand-worked cases: closed forms of the textbook, (1 + ratio), (1 - ratio) and the quarter."""
    ratio, unit = RADIUS / ROD, RADIUS * SPEED**2 / 1e3
    found = [
        slider_crank.acceleration(RADIUS, ROD, 0.0, angle, SPEED) / 1e3
        for angle in (0.0, math.pi, math.pi / 2)
    ]
    assert found[0] == printed("25913.69313")
    assert found[1] == printed("-13932.09308")
    assert found[2] == printed("-6281.514813")
    closed = unit * (1 + ratio), -unit * (1 - ratio), -unit * ratio / math.sqrt(1 - ratio**2)
    assert found == pytest.approx(closed, rel=1e-12)


def test_dead_centres_with_an_offset(printed):
    """Hand-worked case."""
    engine = RADIUS, ROD, OFFSET
    loss = RADIUS + ROD - slider_crank.top_height(*engine)
    assert loss == printed("0.001720438064")
    assert math.degrees(slider_crank.top_angle(*engine)) == printed("-0.2464342201")
    assert math.degrees(slider_crank.bottom_angle(*engine)) == printed("179.5416289")
    stroke = slider_crank.top_height(*engine) - slider_crank.bottom_height(*engine)
    assert stroke == printed("86.00147961")


@pytest.mark.parametrize("engine", ENGINES)
def test_dead_centres_against_a_minimiser(engine):
    """Second route: scipy's minimiser; angles only as fine as a flat extreme lets them be."""
    top, bottom = extremes(*engine)
    assert slider_crank.top_angle(*engine) == pytest.approx(top, abs=2e-7)
    assert slider_crank.bottom_angle(*engine) == pytest.approx(bottom, abs=2e-7)
    assert slider_crank.top_height(*engine) == pytest.approx(pin_height(top, *engine), abs=1e-11)
    assert slider_crank.bottom_height(*engine) == pytest.approx(
        pin_height(bottom, *engine), abs=1e-11
    )


@pytest.mark.parametrize("engine", ENGINES)
def test_largest_rod_angle_against_a_minimiser(engine):
    """Second route: the steepest of the roots' chords over a turn, scipy's minimiser."""
    radius, _, offset = engine

    def shallow(angle):
        upright = pin_height(angle, *engine) - radius * math.cos(angle)
        return -abs(math.atan2(radius * math.sin(angle) + offset, upright))

    steepest = min(
        minimize_scalar(shallow, bounds=bounds, method="bounded", options={"xatol": 1e-9}).fun
        for bounds in ((0, math.pi), (math.pi, 2 * math.pi))
    )
    assert slider_crank.largest_rod_angle(*engine) == pytest.approx(-steepest, abs=1e-12)


def dwell_angles(engine, distance):
    """Dwell at top and bottom from the crossings of the pin height, by scipy's root."""
    top, bottom = extremes(*engine)
    low, high = pin_height(bottom, *engine), pin_height(top, *engine)

    def over(angle, height):
        return pin_height(angle, *engine) - height

    at_top = [
        brentq(over, top, end, args=(high - distance,), xtol=1e-14)
        for end in (bottom - 2 * math.pi, bottom)
    ]
    at_bottom = [
        brentq(over, bottom, end, args=(low + distance,), xtol=1e-14)
        for end in (top, top + 2 * math.pi)
    ]
    return at_top[1] - at_top[0], at_bottom[1] - at_bottom[0]


@pytest.mark.parametrize(
    ("distance", "offset", "top", "bottom"),
    [
        (0.25, 0.0, "10.84124332", "14.77473921"),
        (1.0, 0.0, "21.72228004", "29.53940821"),
        (1.0, 0.8, "21.72217854", "29.53894066"),
    ],
)
def test_dwell(distance, offset, top, bottom, printed):
    """Hand-worked cases, and scipy's roots of both crossings."""
    engine = RADIUS, ROD, offset
    at_top = 2 * math.acos(slider_crank.top_dwell_cosine(*engine, distance))
    at_bottom = 2 * math.pi - 2 * math.acos(slider_crank.bottom_dwell_cosine(*engine, distance))
    assert math.degrees(at_top) == printed(top)
    assert math.degrees(at_bottom) == printed(bottom)
    assert (at_top, at_bottom) == pytest.approx(dwell_angles(engine, distance), abs=1e-9)


@pytest.mark.parametrize("engine", ENGINES)
@pytest.mark.parametrize("share", [0.001, 0.3, 0.5, 0.9])
def test_dwell_over_any_part_of_the_stroke(engine, share):
    """Second route: scipy's roots of both crossings."""
    distance = share * 2 * engine[0]
    at_top = 2 * math.acos(slider_crank.top_dwell_cosine(*engine, distance))
    at_bottom = 2 * math.pi - 2 * math.acos(slider_crank.bottom_dwell_cosine(*engine, distance))
    assert (at_top, at_bottom) == pytest.approx(dwell_angles(engine, distance), abs=1e-8)


@pytest.mark.parametrize("distance", [0.0, -0.1, 86.0, 90.0, math.nan])
def test_no_dwell_over_what_is_no_part_of_the_stroke(distance):
    """A distance of nothing or of the whole stroke has no dwell."""
    assert math.isnan(slider_crank.top_dwell_cosine(RADIUS, ROD, OFFSET, distance))
    assert math.isnan(slider_crank.bottom_dwell_cosine(RADIUS, ROD, OFFSET, distance))


def test_highest_piston_speed(printed):
    """Hand-worked case: where and how fast, by scipy's minimiser."""

    def slow(angle):
        return -slider_crank.velocity(RADIUS, ROD, 0.0, angle, SPEED)

    fastest = minimize_scalar(slow, bounds=(1.0, 1.6), method="bounded", options={"xatol": 1e-9})
    assert -fastest.fun / 1e3 == printed("30.57274078")
    assert math.degrees(fastest.x) == pytest.approx(74.49964, abs=5e-6)


def test_inertia_and_side_force_at_a_quarter_turn(printed):
    """Hand-worked case: the torque of the gas on the crank, by two routes."""
    place = RADIUS, ROD, 0.0, math.pi / 2
    acceleration = slider_crank.acceleration(*place, SPEED) / 1e3
    along = 2.0 * math.pi / 4 * 86.0**2 - 0.520 * acceleration
    tilt = slider_crank.rod_tilt(*place)
    tangent = slider_crank.pin_sideways(RADIUS, 0.0, math.pi / 2) / slider_crank.rod_along_axis(
        *place
    )
    assert along * tangent == printed("4692.794829")
    torque = along * slider_crank.velocity(*place, SPEED) / SPEED / 1e3
    assert torque == printed("640.0118854")
    lever = RADIUS / 1e3 * math.sin(math.pi / 2 + tilt) / math.cos(tilt)
    assert torque == pytest.approx(along * lever, rel=1e-12)


@pytest.mark.parametrize(
    ("ratio", "travel", "velocity", "acceleration", "second", "fourth"),
    [
        (0.25, "0.002016653793", "0.00263031", "0.008198889747", "0.25402504", "-0.00409811"),
        (0.30, "0.003535995277", "0.00462059", "0.01448545102", "0.30705066", "-0.00723769"),
        (0.35, "0.005715143544", "0.00748519", "0.02363235888", "0.3613821", "-0.0118004"),
    ],
)
def test_distance_from_two_harmonics(
    ratio, travel, velocity, acceleration, second, fourth, printed
):
    """Hand-worked cases: the exact motion against the textbook's two harmonics, over a turn.

    Second route for the harmonics: numpy's Fourier transform.
    """
    angles = np.radians(np.arange(36000) / 100)
    engine = 1.0, 1 / ratio, 0.0, angles
    cosines = np.cos(angles), np.cos(2 * angles)
    sines = np.sin(angles), np.sin(2 * angles)
    by_harmonics = (
        1 - cosines[0] + ratio / 4 * (1 - cosines[1]),
        sines[0] + ratio / 2 * sines[1],
        cosines[0] + ratio * cosines[1],
    )
    exact = (
        slider_crank.travel(*engine),
        slider_crank.velocity(*engine, 1.0),
        slider_crank.acceleration(*engine, 1.0),
    )
    worst = [np.max(np.abs(a - b)) for a, b in zip(exact, by_harmonics, strict=True)]
    assert worst[0] == printed(travel)
    assert worst[1] == printed(velocity)
    assert worst[2] == printed(acceleration)
    spectrum = np.fft.rfft(exact[2]) / len(angles) * 2
    assert spectrum[2].real == printed(second)
    assert spectrum[4].real == printed(fourth)


@pytest.mark.parametrize(
    ("radius", "rod", "offset"),
    [
        (43.0, 43.0, 0.0),
        (43.0, 43.8, 0.8),
        (43.0, 43.8, -0.8),
        (43.0, 20.0, 0.0),
        (43.0, math.nan, 0.0),
    ],
)
def test_a_crank_that_cannot_turn_right_round(radius, rod, offset):
    """A rod no longer than radius and offset together gives no figure at all, and no warning."""
    place = radius, rod, offset, 1.0
    figures = (
        slider_crank.top_height(radius, rod, offset),
        slider_crank.bottom_height(radius, rod, offset),
        slider_crank.top_angle(radius, rod, offset),
        slider_crank.bottom_angle(radius, rod, offset),
        slider_crank.largest_rod_angle(radius, rod, offset),
        slider_crank.rod_tilt(*place),
        slider_crank.travel(*place),
        slider_crank.velocity(*place, SPEED),
        slider_crank.acceleration(*place, SPEED),
        slider_crank.top_dwell_cosine(radius, rod, offset, 1.0),
        slider_crank.bottom_dwell_cosine(radius, rod, offset, 1.0),
    )
    assert np.all(np.isnan(figures))
