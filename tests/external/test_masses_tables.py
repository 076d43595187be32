"""Weighed parts and bob-weights: hand-worked cases and builds, and rods on two scales by numpy."""

import math
import tomllib
from pathlib import Path

import numpy as np
import pytest

from validators.reference.evaluate import evaluate
from validators.reference.mass_matching import (
    pin_mass_spread,
    piston_mass_spread,
    piston_trim,
    reciprocating_spread,
    rod_big_spread,
    rod_big_trim,
    rod_small_spread,
    rod_small_trim,
)
from validators.reference.masses import (
    cylinder_reciprocating_mass,
    cylinder_rotating_mass,
    rod_weighing_closure,
    rod_weighing_state,
)
from validators.reference.wiring import Shapes
from validators.reference.words import WeighingState

OUTSIDE = pytest.mark.outside(
    source="numpy",
    place="rods on two scales as a system of equations; worked builds",
    covers="4 to 8 cylinders",
)

NAN = float("nan")
GRAM = 1e-3
with (Path(__file__).parents[2] / "templates_src" / "quantities.toml").open("rb") as catalogue:
    CATALOGUE = tomllib.load(catalogue)
AXES = {key: tuple(entry.get("over", ())) for key, entry in CATALOGUE["quantity"].items()}
LABELS = {axis: tuple(entry.get("elements", ())) for axis, entry in CATALOGUE["axes"].items()}


def weighed(wanted, crankpin, **grams):
    """Results through the wiring, all masses in grams."""
    labels = LABELS | {
        "cylinder": tuple(str(number + 1) for number in range(len(crankpin))),
        "crankpin": tuple(str(number + 1) for number in range(max(crankpin) + 1)),
    }
    inputs = {key: np.asarray(mass, dtype=float) * GRAM for key, mass in grams.items()}
    inputs["cylinder_crankpin"] = np.array(crankpin) + 1
    inputs["crankpin_number"] = np.arange(max(crankpin) + 1) + 1
    inputs["balance_share"] = inputs.pop("per_cent") / GRAM / 100
    found = evaluate(inputs, Shapes(AXES, labels), {}, (), wanted)
    return {key: value / GRAM for key, value in found.items()}


# ---------------------------------------------------------------- the rod on its scales
@OUTSIDE
def test_ends_and_whole(printed):
    """Hand-worked case: 0.3 g too much, which a scale of 0.1 g does not explain."""
    closure = rod_weighing_closure(157.1, 428.2, 585.0)
    assert closure == printed("0.3")
    assert rod_weighing_state(closure * GRAM, 0.1 * GRAM, GRAM) == WeighingState.DISAGREE
    assert rod_weighing_state(closure * GRAM, 0.2 * GRAM, GRAM) == WeighingState.AGREE


@pytest.mark.parametrize(
    ("small", "big", "whole", "resolution", "word"),
    [
        (157.0, 428.2, 585.0, 0.1, WeighingState.AGREE),
        (156.8, 428.0, 585.0, 0.1, WeighingState.AGREE),
        (156.7, 428.0, 585.0, 0.1, WeighingState.DISAGREE),
        (157.0, 428.0, 585.0, 0.0, WeighingState.AGREE),
        (157.0, 428.0, NAN, 0.1, WeighingState.ONE_WEIGHING_ONLY),
        (NAN, 428.0, 585.0, 0.1, WeighingState.ONE_WEIGHING_ONLY),
        (157.0, 428.0, 585.0, NAN, WeighingState.ONE_WEIGHING_ONLY),
    ],
)
@OUTSIDE
def test_weighings_agree_within_two_steps_of_the_scale(small, big, whole, resolution, word):
    """By hand; a difference of just two steps agrees, whatever binary figures make of it."""
    closure = rod_weighing_closure(small * GRAM, big * GRAM, whole * GRAM)
    assert rod_weighing_state(closure, resolution * GRAM, GRAM) == word


def test_rod_on_two_scales(printed):
    """Hand-worked case: shares from the centre of gravity; second route: balance by numpy."""
    big, small = np.linalg.solve([[1, 1], [0, 136.0]], [585.0, 585.0 * 38.0])
    assert small == printed("163.4558824")
    assert big == printed("421.5441176")
    assert rod_weighing_closure(small, big, 585.0) == pytest.approx(0, abs=1e-12)


@OUTSIDE
def test_two_masses_stand_for_a_rod():
    """Second route: a rod of many small masses has the sum and the moment of its two shares."""
    random = np.random.default_rng(111)
    for _ in range(50):
        places, pieces = random.uniform(-0.03, 0.17, 40), random.uniform(0.001, 0.03, 40)
        reading = np.linalg.solve([[1, 1], [0, 0.14]], [np.sum(pieces), np.sum(pieces * places)])
        big, small = reading
        assert rod_weighing_closure(small, big, np.sum(pieces)) == pytest.approx(0, abs=1e-15)
        rotating = cylinder_rotating_mass(big, 0.0)
        reciprocating = cylinder_reciprocating_mass(0.0, 0.0, 0.0, 0.0, small)
        centre = reciprocating * 0.14 / (rotating + reciprocating)
        assert centre == pytest.approx(np.sum(pieces * places) / np.sum(pieces))


# ---------------------------------------------------------------- sums, spreads, trims
@OUTSIDE
def test_reciprocating_mass(printed):
    """Hand-worked case; every part must be weighed, retainers too."""
    assert cylinder_reciprocating_mass(345.6, 92.3, 38.0, 3.0, 148.2) == printed("627.1")
    for missing in range(5):
        parts = [345.6, 92.3, 38.0, 3.0, 148.2]
        parts[missing] = NAN
        assert math.isnan(cylinder_reciprocating_mass(*parts))
    assert cylinder_reciprocating_mass(345.6, 92.3, 38.0, 0.0, 148.2) == printed("624.1")


SPREADS = (
    piston_mass_spread,
    pin_mass_spread,
    rod_small_spread,
    rod_big_spread,
    reciprocating_spread,
)
TRIMS = piston_trim, rod_small_trim, rod_big_trim


@pytest.mark.parametrize("spread", SPREADS)
@OUTSIDE
def test_spreads(spread, printed):
    """Hand-worked case; one part that is not weighed leaves none; one cylinder has none."""
    masses = np.array([345.6, 344.2, 346.1, 345.0])
    assert spread(masses) == printed("1.9")
    masses[2] = NAN
    assert math.isnan(spread(masses))
    assert spread(np.array([345.6])) == 0


@pytest.mark.parametrize("trim", TRIMS)
@OUTSIDE
def test_trims(trim):
    """Hand-worked case; what is taken off leaves every part at the lightest."""
    masses = np.array([345.6, 344.2, 346.1, 345.0])
    assert trim(masses) == pytest.approx([1.4, 0, 1.9, 0.8])
    assert masses - trim(masses) == pytest.approx(np.full(4, 344.2))
    masses[1] = NAN
    assert np.all(np.isnan(trim(masses)))


# ---------------------------------------------------------------- bob-weights
V_EIGHT = {
    "piston_mass": [412] * 8,
    "pin_mass": [118] * 8,
    "ring_mass": [36] * 8,
    "lock_mass": [2] * 8,
    "rod_small_mass": [178] * 8,
    "rod_big_mass": [428] * 8,
    "shell_mass": 44,
    "oil_mass": 4,
    "per_cent": 50,
}
MASSES = ["cylinder_reciprocating_mass", "cylinder_rotating_mass", "bob_weight"]


@OUTSIDE
def test_v_eight_of_the_worked_build():
    """Hand-worked case and build: two rods on every pin, half of the reciprocating mass."""
    found = weighed(MASSES, (0, 0, 1, 1, 2, 2, 3, 3), **V_EIGHT)
    assert found["cylinder_reciprocating_mass"] == pytest.approx(np.full(8, 746))
    assert found["cylinder_rotating_mass"] == pytest.approx(np.full(8, 472))
    assert found["bob_weight"] == pytest.approx(np.full(4, 1694))


@OUTSIDE
def test_flat_four_of_the_worked_build():
    """Masses of the flat four; its shells are weighed with the big ends."""
    masses = {
        "piston_mass": [388] * 4,
        "pin_mass": [96] * 4,
        "ring_mass": [34] * 4,
        "lock_mass": [2] * 4,
        "rod_small_mass": [150] * 4,
        "rod_big_mass": [385] * 4,
        "shell_mass": 0,
        "oil_mass": 0,
        "per_cent": 0,
    }
    found = weighed(MASSES, (0, 1, 2, 3), **masses)
    assert found["cylinder_reciprocating_mass"] == pytest.approx(np.full(4, 670))
    assert found["bob_weight"] == pytest.approx(np.full(4, 385))


@OUTSIDE
def test_bob_weights_of_uneven_parts():
    """By the textbook's sum, n (W + shells) + oil + share n m, with the means of the pin's rods."""
    random = np.random.default_rng(113)
    pins = (0, 1, 1, 0, 2, 1)
    uneven = {key: random.uniform(90, 110, 6) for key in V_EIGHT if key.endswith("_mass")}
    uneven |= {"shell_mass": 44, "oil_mass": 4, "per_cent": 53}
    found = weighed(MASSES, pins, **uneven)
    for pin in range(3):
        here = np.array(pins) == pin
        rods, big = np.count_nonzero(here), np.mean(uneven["rod_big_mass"][here])
        reciprocating = np.mean(found["cylinder_reciprocating_mass"][here])
        expected = rods * (big + 44) + 4 + 53 / 100 * rods * reciprocating
        assert found["bob_weight"][pin] == pytest.approx(expected, rel=1e-12)


@OUTSIDE
def test_a_bob_weight_needs_every_rod_of_its_pin():
    """One piston of the second pin is not weighed."""
    masses = V_EIGHT | {"piston_mass": [412, 412, 412, NAN, 412, 412, 412, 412]}
    found = weighed(["bob_weight", "piston_trim"], (0, 0, 1, 1, 2, 2, 3, 3), **masses)
    assert found["bob_weight"] == pytest.approx([1694, NAN, 1694, 1694], nan_ok=True)
    assert np.all(np.isnan(found["piston_trim"]))
