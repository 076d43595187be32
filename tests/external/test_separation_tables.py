"""Separation of the rod cap: hand-worked cases and builds, and second routes.

The second routes: accelerations of the moving masses by Cauchy's integral, the uncertainty of the
margin by linear propagation, and rods with their bolts through the wiring.
"""

import math
import tomllib
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from uncertainties import ufloat

from validators.reference.constants import BOLT_CLASSES
from validators.reference.evaluate import evaluate
from validators.reference.separation import (
    bearing_load,
    reciprocating_mass_used,
    separation_force,
    separation_guard,
    separation_margin,
)
from validators.reference.wiring import Shapes

OUTSIDE = pytest.mark.outside(
    source="uncertainties",
    place="accelerations by Cauchy's integral; the margin by linear propagation",
    covers="rods of 100 to 200 mm",
)

NAN = float("nan")
SPEED = 7000 * 2 * math.pi / 60
ROD = (0.081, 0.136, SPEED, 0.628, 0.372)  # stroke, length, speed, reciprocating, rotating


@OUTSIDE
def test_separation(printed):
    """Hand-worked cases: both bolts, crankpin, margin."""
    assert separation_force(*ROD, 0.150) == printed("22568.00942")
    assert bearing_load(*ROD) == printed("25832.38107")
    assert separation_margin(23e3, 6e3, 20e3) == pytest.approx(2, rel=1e-12)


@pytest.mark.outside(
    source="Python standard library",
    place="fractions.Fraction",
    covers="cylinders weighed, some of them, none of them",
)
def test_heaviest_that_was_weighed():
    """What is weighed counts before what a catalogue says; what is not weighed is passed over."""
    chosen, weighed = np.array([[0.628]] * 3), [[0.612, 0.618, 0.615], [NAN, 0.611, NAN], [NAN] * 3]
    expected = [max((Fraction(str(x)) for x in row if x == x), default=Fraction("0.628")) for row in weighed]
    assert reciprocating_mass_used(np.array(weighed), chosen) == pytest.approx([float(x) for x in expected])


@OUTSIDE
def test_separation_against_accelerations():
    """Second route: accelerations of piston pin and crankpin at top, by Cauchy's integral."""
    stroke, length, speed, reciprocating, rotating = ROD
    turn = 0.2 * np.exp(2j * np.pi * np.arange(64) / 64)

    def acceleration(height):
        return -2 * np.mean(height / turn**2).real * speed**2

    crankpin = acceleration(stroke / 2 * np.cos(turn))
    sideways = stroke / 2 * np.sin(turn)
    piston = acceleration(stroke / 2 * np.cos(turn) + np.sqrt(length**2 - sideways**2))
    load = reciprocating * piston + rotating * crankpin
    assert bearing_load(*ROD) == pytest.approx(load, rel=1e-9)
    assert separation_force(*ROD, 0.150) == pytest.approx(load - 0.150 * crankpin, rel=1e-9)


def test_what_does_not_separate_has_no_margin():
    """A cap heavier than all the rest, no rod, no force."""
    assert math.isnan(separation_margin(23e3, 0.0, separation_force(*ROD, 2.0)))
    assert math.isnan(separation_margin(23e3, 0.0, 0.0))
    assert math.isnan(separation_force(0.081, 0.0, SPEED, 0.6, 0.4, 0.1))
    assert math.isnan(bearing_load(0.081, 0.0, SPEED, 0.6, 0.4))
    assert math.isnan(separation_guard(0.003, 0.0, 2e4))
    assert math.isnan(separation_guard(0.003, 6e-6, -1.0))


@OUTSIDE
def test_uncertainty_of_the_margin():
    """Second route: linear propagation of the stretch's uncertainty, by the library."""
    stretch, whole, force = ufloat(0.170, 0.0021), 6.02e-6, 20688.0
    margin = (2 * stretch / whole - 1500) / force
    assert separation_guard(0.0021, whole, force) == pytest.approx(margin.std_dev, rel=1e-12)


@OUTSIDE
def test_caps_of_the_worked_builds(printed):
    """Flat four; and V8, where half of the shells rests with the cap."""
    force = separation_force(0.081, 0.136, 6500 * 2 * math.pi / 60, 0.670, 0.385, 0.152)
    assert force == printed("20688.36929")
    assert force / 2 == printed("10344.18465")
    assert separation_margin(28232.07927, 0.0, force) == printed("2.729270623")
    inches = 3.55 * 0.0254, 6.05 * 0.0254
    force = separation_force(*inches, SPEED, 0.746, 0.472, 0.170 + 0.022)
    assert force == printed("30158.42191")
    assert force / 2 == printed("15079.21095")
    assert separation_margin(50482.32822, 0.0, force) == printed("3.347809668")
    assert bearing_load(*inches, SPEED, 0.746, 0.472) == printed("34809.85329")


@OUTSIDE
def test_load_on_the_pin_of_the_flat_four():
    """Printed from the exact acceleration with its offset, which is 7 millionths more."""
    load = bearing_load(0.081, 0.136, 6500 * 2 * math.pi / 60, 0.670, 0.385)
    assert load == pytest.approx(23540.75387, rel=1e-5)
    assert load < 23540.75387


# ---------------------------------------------------------------- through the wiring
with (Path(__file__).parents[2] / "templates_src" / "quantities.toml").open("rb") as catalogue:
    CATALOGUE = tomllib.load(catalogue)
LABELS = {axis: tuple(entry.get("elements", ())) for axis, entry in CATALOGUE["axes"].items()} | {
    "cylinder": ("1", "2", "3"),
    "rodbolt": ("1a", "1b", "2a", "2b", "3a", "3b"),
    "boltclass": tuple(row.name for row in BOLT_CLASSES),
}
AXES = {key: tuple(entry.get("over", ())) for key, entry in CATALOGUE["quantity"].items()}
RELATIONS = {("rodbolt", "cylinder"): [0, 0, 1, 1, 2, 2]}


@OUTSIDE
def test_three_rods_with_their_bolts():
    """By hand, 1 kN for each micrometre: the weaker bolt counts, and both must be measured."""
    found = evaluate(
        {
            "bolt_tight_length": np.array([58.020, 58.024, 58.030, 58.021, 58.025, NAN]) * 1e-3,
            "bolt_free_length": np.full(6, 58.0e-3),
            "bolt_compliance": 1e-9,
            "rodbolt_cylinder": [1, 1, 2, 2, 3, 3],
            "cylinder_number": [1, 2, 3],
            "bolt_crush_load": 2e3,
            "separation_force": 10e3,
        },
        Shapes(AXES, LABELS),
        RELATIONS,
        (),
        ["rod_preload_least", "separation_margin"],
    )
    least, margin = found["rod_preload_least"], found["separation_margin"]
    assert least == pytest.approx([20e3, 21e3, NAN], nan_ok=True)
    assert margin == pytest.approx([3.8, 4.0, NAN], nan_ok=True)


def test_a_rod_bolt_knows_its_cylinder():
    """What is told of a cylinder reaches both of its bolts."""

    def bolt_set(piston_mass):
        return piston_mass * 1

    masses = {"piston_mass": [1.0, 2.0, 3.0]}
    shapes = Shapes(AXES, LABELS)
    found = evaluate(masses, shapes, RELATIONS, (), ["bolt_set"], functions=[bolt_set])
    assert found["bolt_set"].tolist() == [1, 1, 2, 2, 3, 3]


@OUTSIDE
def test_classes_of_the_core_stand_behind_the_names():
    """The caller gives codes of the names, in the order of the table."""
    found = evaluate(
        {
            "bolt_class": 3.0,
            "bolt_class_name": np.arange(5.0),
            "bolt_proof_own": NAN,
            "bolt_yield_own": NAN,
        },
        Shapes(AXES, LABELS),
        {},
        (),
        ["bolt_proof_stress", "bolt_yield_stress"],
    )
    assert found["bolt_proof_stress"] == pytest.approx(586.0544e6, abs=50)
    assert found["bolt_yield_stress"] == pytest.approx(634.3177e6, abs=50)
