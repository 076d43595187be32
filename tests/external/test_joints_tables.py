"""Torque, angle and preload: hand-worked cases, and second routes.

The second routes: a block on a helix in equilibrium, the work of one turn, clamped parts integrated
by scipy, and bolt and clamped parts as a system of equations.
"""

import math

import numpy as np
import pint
import pytest
from scipy.integrate import quad

from validators.reference.constants import CONSTANTS
from validators.reference.joints import (
    joint_angle_preload,
    joint_angle_total,
    joint_bolt_compliance,
    joint_lever,
    joint_nut_factor,
    joint_preload,
    joint_sleeve_compliance,
    joint_torque,
)
from validators.reference.words import ThreadForm

OUTSIDE = pytest.mark.outside(
    source="textbooks on machine elements",
    edition="from memory",
    known="memory",
    place="a block on a helix in equilibrium; scipy quadrature of clamped parts",
    covers="threads of head, main and case bolts",
)

UNITS = pint.UnitRegistry()
NAN = float("nan")
FACTORS = CONSTANTS["metric_thread_factor"], CONSTANTS["unified_thread_factor"], 1.0
STEEL = 206e3  # MPa
# M10x1.25: pitch, pitch diameter; the head bears on a mean diameter of 13.25 mm.
PITCH, FLANK, HEAD = 1.25, 9.188101184, 13.25


@OUTSIDE
def test_torque_for_a_preload(printed):
    """Hand-worked case, with its three parts and the nut factor."""
    lever = joint_lever(PITCH, FLANK, 0.12, HEAD, 0.12)
    assert joint_torque(40e3, lever) / 1e3 == printed("65.22056008")
    assert joint_torque(40e3, joint_lever(PITCH, FLANK, 0, HEAD, 0)) / 1e3 == printed("7.9577472")
    assert joint_torque(40e3, joint_lever(0, FLANK, 0.12, HEAD, 0)) / 1e3 == printed("25.462813")
    assert joint_torque(40e3, joint_lever(0, FLANK, 0, HEAD, 0.12)) / 1e3 == printed("31.8")
    assert joint_nut_factor(lever, 10) == printed("0.1630514002")


@pytest.mark.parametrize(("friction", "figure"), [(0.08, "56550.0814"), (0.16, "30943.8881")])
@OUTSIDE
def test_preload_of_a_torque(friction, figure, printed):
    """Hand-worked cases: the same torque with other friction in thread and head."""
    lever = joint_lever(PITCH, FLANK, friction, HEAD, friction)
    assert joint_preload(65220.56008, lever) == pytest.approx(float(figure), abs=1e-4)


@OUTSIDE
def test_nut_factor_by_its_definition():
    """Torque over preload and size, whichever of torque and preload is the one given."""
    lever = joint_lever(PITCH, FLANK, 0.14, HEAD, 0.10)
    assert joint_nut_factor(lever, 10) == pytest.approx(joint_torque(35e3, lever) / (10 * 35e3))
    assert joint_nut_factor(lever, 10) == pytest.approx(60e3 / (10 * joint_preload(60e3, lever)))


def torque_in_equilibrium(preload, pitch, flank, thread_friction, head, head_friction):
    """Torque of a block that slides up a helix, from the balance of forces on it.

    The flank leans by 30 degrees, so the friction rests on more than the force along the thread.
    """
    slope = math.atan(pitch / (math.pi * flank))
    friction = thread_friction / math.cos(math.radians(30))
    # Unknown: force across the helix, push around it. Rows: along the axis, around it.
    forces = [
        [math.cos(slope) - friction * math.sin(slope), 0],
        [math.sin(slope) + friction * math.cos(slope), -1],
    ]
    _, push = np.linalg.solve(forces, [preload, 0])
    return push * flank / 2 + preload * head_friction * head / 2


@OUTSIDE
def test_exact_screw(printed):
    """Hand-worked case of the exact form; the linear one is 0.3 % below it."""
    exact = torque_in_equilibrium(40e3, PITCH, FLANK, 0.12, HEAD, 0.12) / 1e3
    assert exact == printed("65.42231")
    linear = joint_torque(40e3, joint_lever(PITCH, FLANK, 0.12, HEAD, 0.12)) / 1e3
    assert exact * 0.996 < linear < exact


@OUTSIDE
def test_linear_form_against_the_exact_screw():
    """Second route: in the thread both differ by the product of slope and friction, no more."""
    random = np.random.default_rng(87)
    for _ in range(200):
        size, pitch = random.uniform(5, 24), random.uniform(0.5, 2)
        thread, head = random.uniform(0, 0.2, 2)
        flank = size - 3 * math.sqrt(3) / 8 * pitch
        lever = joint_lever(pitch, flank, thread, 1.4 * size, head)
        exact = torque_in_equilibrium(1.0, pitch, flank, thread, 1.4 * size, head)
        under_head = 0.7 * size * head
        product = pitch / (math.pi * flank) * thread / math.cos(math.pi / 6)
        assert lever - under_head == pytest.approx((exact - under_head) * (1 - product), rel=1e-12)
        assert 0.95 * exact < lever <= exact * (1 + 1e-12)


@OUTSIDE
def test_work_of_a_turn_without_friction():
    """Hand-worked case: work of the torque over a turn is preload times pitch; 2 pi T = F P."""
    torque = joint_torque(40e3, joint_lever(PITCH, FLANK, 0, HEAD, 0))
    work, _ = quad(lambda angle: torque, 0, 2 * math.pi)
    assert work == pytest.approx(40e3 * PITCH, rel=1e-12)


@OUTSIDE
def test_work_of_tightening_is_stored_in_springs():
    """Second route: without friction the work over an angle is the strain energy of both."""
    bolt, sleeve, turned = 2.9e-6, 0.6e-6, math.radians(75)

    def torque(angle):
        preload = joint_angle_preload(PITCH, angle, bolt, sleeve)
        return joint_torque(preload, joint_lever(PITCH, FLANK, 0, HEAD, 0))

    work, _ = quad(torque, 0, turned)
    preload = joint_angle_preload(PITCH, turned, bolt, sleeve)
    assert work == pytest.approx(preload**2 * (bolt + sleeve) / 2, rel=1e-10)


@OUTSIDE
def test_torque_in_pounds_and_feet(printed):
    """Hand-worked conversion by pint; the preload in pounds-force follows."""
    torque = UNITS.Quantity(70, "foot * pound_force")
    assert torque.to("N*m").magnitude == printed("94.90725638")
    lever = UNITS.Quantity(joint_lever(PITCH, FLANK, 0.12, HEAD, 0.12), "mm")
    preload = joint_preload(torque, lever).to("pound_force").magnitude
    assert preload == pytest.approx(70 * 12 * 25.4 / lever.magnitude)


# ---------------------------------------------------------------- angle
def cone_compliance(length, hole, size):
    """Clamped steel under a head of 1.5 times the thread, spreading at 30 degrees, by scipy."""
    slope = math.tan(math.radians(30))

    def slice_of(depth):
        outside = 1.5 * size + 2 * slope * depth
        return 1 / (STEEL * math.pi / 4 * (outside**2 - hole**2))

    half, _ = quad(slice_of, 0, length / 2, epsabs=1e-18)
    return 2 * half


@OUTSIDE
def test_angle_of_a_bolt_in_a_cone(printed):
    """Hand-worked case: a quarter turn; shank and thread of the bolt, cones of the joint."""
    shank = 18 / (STEEL * math.pi / 4 * 100)
    thread = joint_bolt_compliance(22, STEEL, ThreadForm.ISO_METRIC, 10, PITCH, *FACTORS)
    assert shank + thread == printed("2.857614063e-06")
    cones = cone_compliance(40, 10, 10)
    assert cones == printed("5.737228437e-07")
    assert 1 / cones == pytest.approx(1743001.888, abs=5e-3)
    preload = joint_angle_preload(PITCH, math.pi / 2, shank + thread, cones)
    assert preload == printed("91072.37456")
    assert preload * (shank + thread) == printed("0.2602496983")


@OUTSIDE
def test_angle_against_a_system_of_springs():
    """Second route: stretch and squeeze make up what is turned in, and carry the same force."""
    random = np.random.default_rng(88)
    for bolt, sleeve, angle in random.uniform([1, 0.2, 0.1], [5, 2, 4], (50, 3)):
        moved = np.linalg.solve(
            [[1, 1], [1 / bolt, -1 / sleeve]], [PITCH * angle / (2 * math.pi), 0]
        )
        preload = joint_angle_preload(PITCH, angle, bolt, sleeve)
        assert preload == pytest.approx(moved[0] / bolt, rel=1e-12)


@OUTSIDE
def test_sleeve(printed):
    """Hand-worked case, and the same by scipy: thin rings of the sleeve."""
    found = joint_sleeve_compliance(40, STEEL, 20, 10.5)
    assert found == printed("8.532561848e-07")
    ring, _ = quad(lambda radius: 2 * math.pi * radius, 5.25, 10)
    assert found == pytest.approx(40 / (STEEL * ring), rel=1e-12)


@OUTSIDE
def test_fastener_that_is_thread_all_along():
    """By hand: the grip over modulus and stress area, metric 61.2 mm^2 and unified 0.0878 in^2."""
    metric = joint_bolt_compliance(40, STEEL, ThreadForm.ISO_METRIC, 10, PITCH, *FACTORS)
    assert metric == pytest.approx(40 / (STEEL * 61.2), rel=1e-3)
    unified = joint_bolt_compliance(1.5, 30e6, ThreadForm.UNIFIED, 3 / 8, 1 / 24, *FACTORS)
    assert unified == pytest.approx(1.5 / (30e6 * 0.08782805023), rel=1e-9)


@OUTSIDE
def test_angles_of_the_steps():
    """Steps without an angle are passed over; no angle at all is none."""
    steps = np.array([[NAN, 90, 90, NAN], [NAN] * 4, [NAN, NAN, NAN, 60], [1, 2, 3, 4]])
    assert joint_angle_total(steps) == pytest.approx([180, NAN, 60, 10], nan_ok=True)


def test_what_cannot_be():
    """No lever, no size, a hole as wide as its sleeve, a thread deeper than the bolt, no spring."""
    assert math.isnan(joint_preload(65e3, 0.0))
    assert math.isnan(joint_preload(65e3, -1.0))
    assert math.isnan(joint_nut_factor(1.6, 0.0))
    assert math.isnan(joint_sleeve_compliance(40, STEEL, 10, 10))
    assert math.isnan(joint_sleeve_compliance(40, STEEL, 10, 12))
    assert math.isnan(joint_sleeve_compliance(40, 0.0, 20, 10))
    assert math.isnan(joint_bolt_compliance(40, STEEL, 0, 1, 1.25, *FACTORS))
    assert math.isnan(joint_bolt_compliance(40, STEEL, NAN, 10, 1.25, *FACTORS))
    assert math.isnan(joint_angle_preload(1.25, 1.0, 0.0, 0.0))
    assert math.isnan(joint_lever(PITCH, FLANK, NAN, HEAD, 0.12))
