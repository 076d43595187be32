"""Parts choice: hand-worked cases, areas by quadrature, unit conversions by pint."""

import math

import numpy as np
import pint
import pytest
from scipy.integrate import dblquad, quad
from scipy.optimize import brentq

from validators.reference.candidate_dead_centres import (
    candidate_bottom_angle,
    candidate_top_angle,
    candidate_top_loss,
    candidate_top_sideways,
    candidate_top_upright,
    candidate_true_stroke,
)
from validators.reference.candidate_dwell import (
    candidate_dwell_bottom,
    candidate_dwell_bottom_cosine,
    candidate_dwell_top,
    candidate_dwell_top_cosine,
)
from validators.reference.candidate_motion import (
    candidate_inertia_force,
    candidate_peak_acceleration,
    candidate_quarter_acceleration,
    candidate_quarter_sideways,
    candidate_quarter_travel,
    candidate_quarter_upright,
    candidate_quarter_velocity,
    candidate_side_force,
)
from validators.reference.candidate_ratio import (
    candidate_clearance_volume,
    candidate_compression_ratio,
)
from validators.reference.candidates import (
    candidate_crank_ratio,
    candidate_deck_clearance,
    candidate_rod_angle,
    candidate_rod_ratio,
    candidate_stack_height,
    candidate_state,
)
from validators.reference.constants import CONSTANTS
from validators.reference.parts import (
    chosen_number,
    compression_height,
    deck_clearance_nominal,
    displacement_total,
    engine_angular_speed,
    peak_acceleration,
    piston_speed_mean,
    reciprocating_mass,
    rod_length,
    swept_volume_nominal,
    top_loss,
)
from validators.reference.slider_crank import acceleration, velocity
from validators.reference.words import CandidateState

UNITS = pint.UnitRegistry()
NAN = float("nan")
MM = 1e-3
SPEED = UNITS.Quantity(6500, "rpm").to("rad/s").magnitude
STANDS = CandidateState.COMPLETE
USUAL = tuple(
    CONSTANTS[key] for key in ("rod_ratio_lowest", "rod_ratio_highest", "compression_height_share")
)


def test_swept_volume(printed):
    """Hand-worked case, four cylinders."""
    swept = swept_volume_nominal(93.0 * MM, 81.0 * MM)
    assert swept * 1e6 == printed("550.2256059")
    assert displacement_total(4, swept) * 1e6 == printed("2200.902424")


@pytest.mark.outside(source="scipy", place="integrate.quad over the disc", covers="one cylinder")
def test_swept_volume_against_quadrature():
    """Second route: scipy's integral over the disc, times the stroke."""
    disc, _ = quad(lambda x: 2 * math.sqrt(46.5**2 - x**2), -46.5, 46.5, epsabs=1e-9)
    assert swept_volume_nominal(93.0, 81.0) == pytest.approx(disc * 81.0, rel=1e-9)


def test_swept_volume_in_inches(printed):
    """Hand-worked case; quantities with pint's units go through the same line."""
    swept = swept_volume_nominal(UNITS.Quantity(4.04, "inch"), UNITS.Quantity(3.55, "inch"))
    assert swept.to("inch^3").magnitude == printed("45.50728906")
    assert swept.to("cm^3").magnitude == printed("745.7308582")
    total = displacement_total(8, swept)
    assert total.to("inch^3").magnitude == printed("364.0583124")
    assert total.to("cm^3").magnitude == printed("5965.846866")


def test_piston_speed(printed):
    """Hand-worked cases; rpm, feet and minutes are pint's."""
    assert piston_speed_mean(86.0 * MM, SPEED) == printed("18.63333333")
    stroke, speed = UNITS.Quantity(3.55, "inch"), UNITS.Quantity(7000, "rpm")
    mean = piston_speed_mean(stroke, speed)
    assert mean.to("m/s").magnitude == printed("21.03966667")
    assert mean.to("ft/min").magnitude == printed("4141.666667")


@pytest.mark.outside(
    source="scipy",
    place="integrate.quad of the speed over half a turn",
    covers="one engine",
)
def test_piston_speed_is_the_mean_of_the_exact_speed():
    """Second route: scipy's integral of the speed at each angle, over half a turn."""
    whole, _ = quad(lambda angle: velocity(43.0, 143.0, 0.0, angle, SPEED), 0, math.pi)
    assert piston_speed_mean(86.0, SPEED) == pytest.approx(whole / math.pi, rel=1e-9)


@pytest.mark.outside(source="pint", place="revolutions per minute to radian per second", covers="one speed")
def test_crank_speed_is_an_angle():
    """Revolutions are a matter of the unit that is shown, by pint."""
    shown = UNITS.Quantity(6500, "rpm")
    assert engine_angular_speed(shown).to("rad/s").magnitude == pytest.approx(680.6784083, abs=5e-8)


@pytest.mark.parametrize(
    ("unit", "engine", "stack", "clearance"),
    [
        ("mm", (81.0, 136.0, 31.2, 208.0), "207.7", "0.3"),
        ("inch", (3.55, 6.05, 1.205, 9.025), "9.03", "-0.005"),
        ("inch", (3.55, 6.05, 1.205, 9.045), "9.03", "0.015"),
    ],
)
def test_stack_and_deck(unit, engine, stack, clearance, printed):
    """Hand-worked cases: a sum; minus stands for a crown that protrudes."""
    stroke, rod, height, deck = (UNITS.Quantity(figure, unit) for figure in engine)
    found = candidate_stack_height(stroke, rod, height, STANDS)
    assert found.to(unit).magnitude == printed(stack)
    left = candidate_deck_clearance(deck, found, 0 * stroke)
    assert left.to(unit).magnitude == printed(clearance)


def test_offset_costs_height_and_deck_clearance(printed):
    """Hand-worked case: what the offset takes from the stack is deck clearance."""
    engine = 86.0 * MM, 143.0 * MM, 0.8 * MM, STANDS
    loss = candidate_top_loss(*engine)
    assert loss / MM == printed("0.001720438064")
    assert math.degrees(candidate_top_angle(*engine)) == printed("-0.2464342201")
    assert math.degrees(candidate_bottom_angle(*engine)) == printed("179.5416289")
    assert candidate_true_stroke(*engine) / MM == printed("86.00147961")
    # The pin's own height, from Pythagoras, with the crown 31.2 above it and the deck at 217.5.
    crown = math.sqrt(186.0**2 - 0.8**2) + 31.2
    stack = candidate_stack_height(86.0 * MM, 143.0 * MM, 31.2 * MM, STANDS)
    assert candidate_deck_clearance(217.5 * MM, stack, loss) / MM == pytest.approx(
        217.5 - crown, abs=1e-12
    )


@pytest.mark.outside(
    source="Python standard library",
    place="complex numbers: crank, rod and cylinder close the chain",
    covers="one engine, four rods",
)
def test_legs_of_the_rod():
    """Second route: complex numbers; the crank arm, turned, and the rod must close the chain."""
    stroke, rod, offset = 86.0, 143.0, 0.8
    top = float(candidate_top_angle(stroke, rod, offset, STANDS))
    at_top = (
        float(candidate_top_sideways(stroke, offset, top)),
        float(candidate_top_upright(stroke, rod, offset, top, STANDS)),
    )
    at_quarter = (
        float(candidate_quarter_sideways(stroke, rod, offset, STANDS)),
        float(candidate_quarter_upright(stroke, rod, offset, STANDS)),
    )
    for angle, (sideways, upright) in ((top, at_top), (math.pi / 2, at_quarter)):
        # Real axis along the cylinder, imaginary axis square to it; the pin line lies at -offset.
        pin = stroke / 2 * np.exp(1j * angle) + complex(upright, -sideways)
        assert pin.imag == pytest.approx(-offset, abs=1e-12)
        assert math.hypot(sideways, upright) == pytest.approx(rod, rel=1e-14)
    # At the true top crank and rod lie in one line.
    assert at_top[0] / at_top[1] == pytest.approx(-math.tan(top), rel=1e-9)


@pytest.mark.parametrize(
    ("rod", "height", "mass", "row"),
    [
        (
            132.0,
            35.2,
            0.545,
            "0.3 1.6296296 0.30681818 17.867584 24521.9013 13364.4362 22.333588 30.5679 46.866605",
        ),
        (
            136.0,
            31.2,
            0.520,
            "0.3 1.6790123 0.29779412 17.325161 24352.5685 12663.3356 22.41112 30.374908 46.670304",
        ),
        (
            139.0,
            28.2,
            0.500,
            "0.3 1.7160494 0.29136691 16.939808 24231.9646 12115.9823 22.466825 30.239636 46.531019",
        ),
        (
            141.5,
            25.7,
            0.485,
            "0.3 1.7469136 0.28621908 16.631733 24135.3678 11705.6534 22.511736 30.132569 46.419765",
        ),
    ],
    ids="ABCD",
)
def test_four_combinations(rod, height, mass, row, printed):
    """Hand-worked case: one crank and one block, four rods; trailing zeros of the row are cut off."""
    stroke, deck, offset = 81.0 * MM, 208.0 * MM, 0.0
    rod, height = rod * MM, height * MM
    state = candidate_state(stroke, deck, offset, SPEED, rod, height, 93.0 * MM, *USUAL, MM)
    assert state == CandidateState.COMPLETE
    engine = stroke, rod, offset, state
    stack = candidate_stack_height(stroke, rod, height, state)
    peak = candidate_peak_acceleration(
        stroke, rod, offset, SPEED, candidate_top_angle(*engine), state
    )
    dwell = 1.0 * MM, stroke, rod, offset, state
    found = (
        candidate_deck_clearance(deck, stack, candidate_top_loss(*engine)) / MM,
        candidate_rod_ratio(stroke, rod, state),
        candidate_crank_ratio(stroke, rod, state),
        math.degrees(candidate_rod_angle(*engine)),
        peak,
        -candidate_inertia_force(mass, peak),
        math.degrees(candidate_dwell_top(candidate_dwell_top_cosine(*dwell))),
        math.degrees(candidate_dwell_bottom(candidate_dwell_bottom_cosine(*dwell))),
        candidate_quarter_travel(*engine) / MM,
    )
    for figure, text in zip(found, row.split(), strict=True):
        assert figure == printed(text)


@pytest.mark.parametrize(
    ("distance", "offset", "top", "bottom"),
    [
        (0.25, 0.0, "10.84124332", "14.77473921"),
        (1.0, 0.0, "21.72228004", "29.53940821"),
        (1.0, 0.8, "21.72217854", "29.53894066"),
    ],
)
def test_dwell(distance, offset, top, bottom, printed):
    """Hand-worked cases."""
    dwell = distance * MM, 86.0 * MM, 143.0 * MM, offset * MM, STANDS
    assert math.degrees(candidate_dwell_top(candidate_dwell_top_cosine(*dwell))) == printed(top)
    found = candidate_dwell_bottom(candidate_dwell_bottom_cosine(*dwell))
    assert math.degrees(found) == printed(bottom)


def test_forces(printed):
    """Hand-worked cases: inertia at true top, side force at a quarter turn."""
    engine = 86.0 * MM, 143.0 * MM, 0.0
    top = candidate_top_angle(*engine, STANDS)
    peak = candidate_peak_acceleration(*engine, SPEED, top, STANDS)
    assert candidate_inertia_force(0.520, peak) == printed("-13475.12043")
    assert candidate_quarter_velocity(*engine, SPEED, STANDS) == printed("29.26917156")
    quarter = candidate_quarter_acceleration(*engine, SPEED, STANDS)
    assert quarter == printed("-6281.514813")
    side = candidate_side_force(
        2.0e6,
        86.0 * MM,
        0.520,
        quarter,
        candidate_quarter_sideways(*engine, STANDS),
        candidate_quarter_upright(*engine, STANDS),
    )
    assert side == printed("4692.794829")


def test_acceleration_is_taken_at_the_true_top():
    """With an offset the true top lies before the throw points up; there the velocity is nothing.

    Second route: scipy's root of the velocity.
    """
    stroke, rod, offset = 81.0 * MM, 136.0 * MM, 0.8 * MM
    top = brentq(
        lambda angle: velocity(stroke / 2, rod, offset, angle, SPEED), -0.1, 0.1, xtol=1e-14
    )
    found = candidate_peak_acceleration(
        stroke, rod, offset, SPEED, candidate_top_angle(stroke, rod, offset, STANDS), STANDS
    )
    assert found == pytest.approx(acceleration(stroke / 2, rod, offset, top, SPEED), rel=1e-12)


@pytest.mark.outside(source="scipy", place="integrate.dblquad over the gaps", covers="one combination")
def test_nominal_ratio_against_volumes_by_quadrature():
    """Second route: scipy's double integrals over the round gaps of gasket and deck."""

    def round_gap(diameter, height):
        return dblquad(lambda r, _: r * height, 0, 2 * math.pi, 0, diameter / 2)[0]

    volume = candidate_clearance_volume(93.0, 48e3, 2.5e3, 94.0, 1.0, 0.3)
    by_parts = 48e3 + 2.5e3 + round_gap(94.0, 1.0) + round_gap(93.0, 0.3)
    assert volume == pytest.approx(by_parts, rel=1e-9)
    swept = swept_volume_nominal(93.0, 81.0)
    ratio = candidate_compression_ratio(swept, volume)
    assert ratio == pytest.approx((by_parts + round_gap(93.0, 81.0)) / by_parts, rel=1e-9)


@pytest.mark.parametrize("volume", [0.0, -1.0, NAN])
def test_no_ratio_without_a_clearance_volume(volume):
    """Nothing over the piston, or less: no ratio, no warning."""
    assert math.isnan(candidate_compression_ratio(550.0, volume))


ENTRIES = {
    "stroke_nominal": 81.0 * MM,
    "deck_height": 208.0 * MM,
    "pin_offset": 0.0,
    "engine_speed": SPEED,
    "candidate_rod_length": 136.0 * MM,
    "candidate_compression_height": 31.2 * MM,
    "nominal_size_bore": 93.0 * MM,
}


def state_with(**changed):
    limits = dict(
        zip(
            ("rod_ratio_lowest", "rod_ratio_highest", "compression_height_share"),
            USUAL,
            strict=True,
        )
    )
    return candidate_state(**{**ENTRIES, **limits, "shown_length": MM, **changed})


@pytest.mark.parametrize("entry", [name for name in ENTRIES if name != "nominal_size_bore"])
def test_a_combination_waits_for_every_entry(entry):
    """A blank is waiting, whatever else is wrong."""
    assert state_with(**{entry: NAN}) == CandidateState.WAITING
    other = "engine_speed" if entry != "engine_speed" else "stroke_nominal"
    assert state_with(**{entry: NAN, other: -1.0}) == CandidateState.WAITING


@pytest.mark.parametrize(
    ("changed", "state"),
    [
        ({}, CandidateState.COMPLETE),
        ({"nominal_size_bore": NAN}, CandidateState.COMPLETE),
        ({"stroke_nominal": 0.0}, CandidateState.CHECK_ENTRY),
        ({"stroke_nominal": -0.081}, CandidateState.CHECK_ENTRY),
        ({"engine_speed": 0.0}, CandidateState.CHECK_ENTRY),
        ({"candidate_rod_length": 40.5 * MM}, CandidateState.CHECK_ENTRY),
        ({"candidate_rod_length": 41.0 * MM, "pin_offset": -0.5 * MM}, CandidateState.CHECK_ENTRY),
        ({"candidate_rod_length": 41.1 * MM, "pin_offset": -0.5 * MM}, CandidateState.UNUSUAL),
        ({"candidate_rod_length": 1.2 * 81.0 * MM}, CandidateState.COMPLETE),
        ({"candidate_rod_length": 97.1 * MM}, CandidateState.UNUSUAL),
        ({"candidate_rod_length": 2.6 * 81.0 * MM}, CandidateState.COMPLETE),
        ({"candidate_rod_length": 210.7 * MM}, CandidateState.UNUSUAL),
        ({"candidate_compression_height": 0.15 * 93.0 * MM}, CandidateState.COMPLETE),
        ({"candidate_compression_height": 13.9 * MM}, CandidateState.UNUSUAL),
        (
            {"candidate_compression_height": 13.9 * MM, "nominal_size_bore": NAN},
            CandidateState.COMPLETE,
        ),
    ],
)
def test_states_of_a_combination(changed, state):
    """Hand-worked cases: 1.2 to 2.6 times the stroke, 0.15 of the bore, and the crank must turn."""
    assert state_with(**changed) == state


@pytest.mark.parametrize("state", [CandidateState.WAITING, CandidateState.CHECK_ENTRY])
def test_a_combination_that_does_not_stand_gives_no_figure(state):
    """All figures of a combination that waits, or has a wrong entry, are missing; none warns."""
    engine = 0.081, 0.136, 0.0, state
    dwell = 0.001, 0.081, 0.136, 0.0, state
    figures = (
        candidate_stack_height(0.081, 0.136, 0.0312, state),
        candidate_top_loss(*engine),
        candidate_top_angle(*engine),
        candidate_bottom_angle(*engine),
        candidate_true_stroke(*engine),
        candidate_rod_ratio(0.081, 0.136, state),
        candidate_crank_ratio(0.081, 0.136, state),
        candidate_rod_angle(*engine),
        candidate_peak_acceleration(0.081, 0.136, 0.0, SPEED, NAN, state),
        candidate_quarter_travel(*engine),
        candidate_quarter_velocity(0.081, 0.136, 0.0, SPEED, state),
        candidate_quarter_acceleration(0.081, 0.136, 0.0, SPEED, state),
        candidate_quarter_sideways(*engine),
        candidate_quarter_upright(*engine),
        candidate_top_upright(0.081, 0.136, 0.0, NAN, state),
        candidate_dwell_top(candidate_dwell_top_cosine(*dwell)),
        candidate_dwell_bottom(candidate_dwell_bottom_cosine(*dwell)),
    )
    assert np.all(np.isnan(figures))


def test_chosen_combination():
    """The chosen one drives the rest, and an incomplete neighbour does not disturb it."""
    states = np.array([2, 3, 1, 0])
    rods = np.array([0.132, 0.136, 0.139, NAN])
    heights = np.array([0.0352, 0.0312, 0.0282, 0.0257])
    masses = np.array([0.545, 0.520, NAN, 0.485])
    figures = np.array([1.0, 2.0, NAN, NAN])
    chosen = np.array([[0.0], [1.0], [2.0], [3.0], [NAN]])
    assert rod_length(chosen, rods, states) == pytest.approx(
        [0.132, 0.136, NAN, NAN, NAN], nan_ok=True
    )
    assert compression_height(chosen, heights, states) == pytest.approx(
        [0.0352, 0.0312, NAN, NAN, NAN], nan_ok=True
    )
    assert reciprocating_mass(chosen, masses) == pytest.approx(
        [0.545, 0.520, NAN, 0.485, NAN], nan_ok=True
    )
    for function in (top_loss, deck_clearance_nominal, peak_acceleration):
        assert function(chosen, figures) == pytest.approx([1.0, 2.0, NAN, NAN, NAN], nan_ok=True)
    assert chosen_number(chosen)[:, 0] == pytest.approx([1, 2, 3, 4, NAN], nan_ok=True)
