"""Every figure of a combination from the circle condition: scipy's roots, minima, contour integrals."""

import math

import pytest
from scipy.integrate import dblquad
from scipy.optimize import brentq, minimize_scalar

from tests.external.circle_condition import extremes, pin_derivatives, pin_height
from validators.reference import (
    candidate_dead_centres,
    candidate_dwell,
    candidate_motion,
    candidates,
)
from validators.reference.wanted_ratio import effective_ratio
from validators.reference.words import CandidateState

MM = 1e-3
STANDS = CandidateState.COMPLETE
SPEED = 2 * math.pi * 6500 / 60
ENGINES = [
    # stroke, rod, offset in millimetres
    (86.0, 143.0, 0.0),
    (86.0, 143.0, -0.8),
    (81.0, 136.0, 0.8),
    (90.17, 153.67, 0.0),
    (40.0, 62.0, 4.0),
]
EACH_ENGINE = pytest.mark.parametrize(
    ("stroke", "rod", "offset"), [tuple(length * MM for length in engine) for engine in ENGINES]
)
COVERS = "strokes 40 to 90 mm, rods 62 to 154 mm, offset -0.8 to 4 mm"


@EACH_ENGINE
@pytest.mark.outside(
    source="scipy", place="optimize.brentq and minimize_scalar of the circle condition", covers=COVERS
)
def test_dead_centres_of_a_combination(stroke, rod, offset):
    engine = stroke / 2, rod, offset
    top, bottom = extremes(*engine)
    highest, lowest = pin_height(top, *engine), pin_height(bottom, *engine)
    given = stroke, rod, offset, STANDS
    # A flat extreme lets a minimiser find the angle to about the root of the working precision.
    assert candidate_dead_centres.candidate_top_angle(*given) == pytest.approx(top, abs=1e-6)
    assert candidate_dead_centres.candidate_bottom_angle(*given) == pytest.approx(bottom, abs=1e-6)
    loss = rod + stroke / 2 - highest
    assert candidate_dead_centres.candidate_top_loss(*given) == pytest.approx(loss, abs=1e-15)
    assert candidate_dead_centres.candidate_true_stroke(*given) == pytest.approx(highest - lowest, rel=1e-12)


@EACH_ENGINE
@pytest.mark.outside(source="scipy", place="optimize.minimize_scalar of the slope of the rod", covers=COVERS)
def test_largest_rod_angle_of_a_combination(stroke, rod, offset):
    def upright(angle):
        return -abs(math.asin((stroke / 2 * math.sin(angle) + offset) / rod))

    steepest = max(
        -minimize_scalar(upright, bounds=(middle - 1, middle + 1), method="bounded").fun
        for middle in (math.pi / 2, 3 * math.pi / 2)
    )
    found = candidates.candidate_rod_angle(stroke, rod, offset, STANDS)
    assert found == pytest.approx(steepest, rel=1e-9)


@EACH_ENGINE
@pytest.mark.outside(source="numpy", place="Cauchy's integral of the pin height", covers=COVERS)
def test_motion_of_a_combination(stroke, rod, offset):
    engine = stroke / 2, rod, offset
    top, _ = extremes(*engine)
    quarter = math.pi / 2
    first, second = pin_derivatives(quarter, *engine)
    fallen = pin_height(top, *engine) - pin_height(quarter, *engine)
    given = stroke, rod, offset
    motion = candidate_motion
    assert motion.candidate_quarter_travel(*given, STANDS) == pytest.approx(fallen, rel=1e-11)
    speed = motion.candidate_quarter_velocity(*given, SPEED, STANDS)
    assert speed == pytest.approx(-first * SPEED, rel=1e-9)
    away = motion.candidate_quarter_acceleration(*given, SPEED, STANDS)
    assert away == pytest.approx(-second * SPEED**2, rel=1e-9)
    # At the top the velocity is nothing, so the root of the first derivative is the better angle.
    top = brentq(lambda angle: pin_derivatives(angle, *engine)[0], top - 0.01, top + 0.01, xtol=1e-15)
    peak = motion.candidate_peak_acceleration(
        *given, SPEED, candidate_dead_centres.candidate_top_angle(*given, STANDS), STANDS
    )
    assert peak == pytest.approx(-pin_derivatives(top, *engine)[1] * SPEED**2, rel=1e-9)


@EACH_ENGINE
@pytest.mark.outside(
    source="scipy",
    place="optimize.minimize_scalar and the circle condition, 0 to 32° after top",
    covers=COVERS,
)
def test_piston_after_top_dead_centre(stroke, rod, offset):
    engine = stroke / 2, rod, offset
    top, _ = extremes(*engine)
    angle = candidate_dead_centres.candidate_top_angle(stroke, rod, offset, STANDS)
    for degrees in range(0, 33, 4):
        turned = math.radians(degrees)
        fallen = pin_height(top, *engine) - pin_height(top + turned, *engine)
        found = candidate_motion.candidate_drop(stroke, rod, offset, angle, turned, 9.0)
        assert found == pytest.approx(fallen / stroke, abs=2e-7)


@EACH_ENGINE
@pytest.mark.outside(
    source="numpy",
    place="virtual work: the torque on the crank by work and by the moments on the block",
    covers=COVERS + ", 2 MPa",
)
def test_side_force_by_virtual_work(stroke, rod, offset):
    """The work of the force along the cylinder goes into the crank; the block holds the same torque."""
    pressure, bore, mass = 2.0e6, 86.0 * MM, 0.520
    engine, quarter = (stroke / 2, rod, offset), math.pi / 2
    first, second = pin_derivatives(quarter, *engine)
    force = pressure * dblquad(lambda r, _: r, 0, 2 * math.pi, 0, bore / 2)[0]
    force += mass * second * SPEED**2
    # Torque of the piston's push on the crank, by work; the block carries the side force at the height
    # of the pin and the push itself at the offset of the cylinder.
    torque = -force * first
    side = (torque + force * offset) / pin_height(quarter, *engine)
    found = candidate_motion.candidate_side_force(
        pressure,
        bore,
        mass,
        candidate_motion.candidate_quarter_acceleration(stroke, rod, offset, SPEED, STANDS),
        candidate_motion.candidate_quarter_sideways(stroke, rod, offset, STANDS),
        candidate_motion.candidate_quarter_upright(stroke, rod, offset, STANDS),
    )
    assert found == pytest.approx(side, rel=1e-9)


@EACH_ENGINE
@pytest.mark.outside(source="scipy", place="optimize.brentq of both crossings", covers=COVERS)
def test_dwell_of_a_combination(stroke, rod, offset):
    engine, distance = (stroke / 2, rod, offset), 1.0 * MM
    top, bottom = extremes(*engine)
    upper, lower = pin_height(top, *engine) - distance, pin_height(bottom, *engine) + distance

    def crossings(height, middle):
        def above(angle):
            return pin_height(angle, *engine) - height

        return [brentq(above, middle, middle + side, xtol=1e-15) for side in (-1.5, 1.5)]

    for level, middle, cosine, dwell in (
        (
            upper,
            top,
            candidate_dwell.candidate_dwell_top_cosine,
            candidate_dwell.candidate_dwell_top,
        ),
        (
            lower,
            bottom,
            candidate_dwell.candidate_dwell_bottom_cosine,
            candidate_dwell.candidate_dwell_bottom,
        ),
    ):
        before, after = crossings(level, middle)
        found = dwell(cosine(distance, stroke, rod, offset, STANDS))
        assert found == pytest.approx(after - before, rel=1e-8)


@pytest.mark.outside(source="scipy", place="integrate.dblquad of what is left", covers="bore 86 mm")
def test_effective_ratio_against_quadrature():
    bore, left, held = 86.0 * MM, 0.070, 55e-6
    swept = dblquad(lambda r, _: r * left, 0, 2 * math.pi, 0, bore / 2)[0]
    assert effective_ratio(held, bore, left) == pytest.approx((held + swept) / held, rel=1e-12)
