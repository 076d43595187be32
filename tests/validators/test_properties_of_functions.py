"""Pairs of functions that undo each other, and limits that a figure must reach."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from validators.reference import (
    compression,
    crankpins,
    deck,
    honing,
    main_journals,
    rings,
    rocking,
    volumes,
    wanted_ratio,
)
from validators.reference.words import DeckBasis

MM, CM3 = 1e-3, 1e-6
BORE = st.floats(50 * MM, 150 * MM)
RATIO = st.floats(6, 16)
NONE = float("nan")


@given(bore=BORE, stroke=st.floats(0.6, 1.4), ratio=RATIO, wide=st.floats(0.5, 4))
def test_gasket_deck_and_chamber_for_a_ratio_give_that_ratio_back(bore, stroke, ratio, wide):
    swept = volumes.swept_volume(bore, stroke * bore)
    wanted = wanted_ratio.wanted_clearance_volume(swept, ratio)
    crown, crevice, chamber = -0.02 * wanted, 0.01 * wanted, 0.8 * wanted
    gasket_bore = bore + wide * MM
    thick, low = 1 * MM, 0.2 * MM
    gasket, clear = volumes.gasket_volume(gasket_bore, thick), volumes.deck_volume(bore, low)

    def ratio_of(chamber, gasket, clear):
        held = volumes.clearance_volume(chamber, volumes.other_volume(gasket, clear, crown, crevice))
        return compression.compression_ratio(swept, held)

    thickness = wanted_ratio.gasket_for_ratio(wanted, chamber, clear, crown, crevice, gasket_bore)
    height = wanted_ratio.deck_for_ratio(wanted, chamber, gasket, crown, crevice, bore)
    now = volumes.clearance_volume(chamber, volumes.other_volume(gasket, clear, crown, crevice))
    added = wanted_ratio.chamber_change(wanted, now)
    by_gasket = ratio_of(chamber, volumes.gasket_volume(gasket_bore, thickness), clear)
    by_deck = ratio_of(chamber, gasket, volumes.deck_volume(bore, height))
    by_chamber = ratio_of(chamber + added, gasket, clear)
    assert [by_gasket, by_deck, by_chamber] == pytest.approx([ratio] * 3, rel=1e-9)


@given(bore=BORE, turns=st.floats(50, 400), stroke=st.floats(50 * MM, 300 * MM), angle=st.floats(0.1, 2.5))
def test_the_stroke_rate_for_a_crosshatch_gives_that_crosshatch_back(bore, turns, stroke, angle):
    rate = honing.hone_rate_needed(bore, turns, stroke, angle)
    assert honing.crosshatch_angle(bore, turns, stroke, rate) == pytest.approx(angle, rel=1e-12)


@given(bore=BORE, ring=st.floats(0, 300), wall=st.floats(0, 200))
def test_a_ring_with_the_gap_that_just_does_not_butt_has_none_left_when_hot(bore, ring, wall):
    """Where the bore outgrows the ring nothing butts, and the hot gap is what the bore opens."""
    heat = 12e-6, ring, 11e-6, wall
    gap = rings.ring_gap_butting(bore, *heat)
    hot = rings.ring_gap_hot(gap, bore, *heat)
    assert gap >= 0
    assert hot == pytest.approx(0.0, abs=1e-15) if gap > 0 else hot >= 0


@given(bore=BORE, skirt=st.floats(30 * MM, 90 * MM), height=st.floats(20 * MM, 60 * MM))
def test_a_piston_that_fills_its_bore_does_not_rock_and_its_deck_is_flat(bore, skirt, height):
    angle = rocking.rock_angle(bore, bore, skirt)
    assert angle == pytest.approx(0.0, abs=1e-12)
    rise = rocking.rock_rise(angle, bore / 2, height)
    assert rise == pytest.approx(0.0, abs=1e-12)
    least = deck.deck_clearance_least(DeckBasis.PREDICTED, 0.3 * MM, rise, NONE, NONE, NONE, NONE)
    assert least == pytest.approx(0.3 * MM, abs=1e-12)


@given(bore=BORE, gap=st.floats(0.02 * MM, 0.2 * MM), more=st.floats(0.001 * MM, 0.1 * MM))
def test_a_looser_piston_rocks_further_and_a_longer_skirt_less(bore, gap, more):
    angle = rocking.rock_angle(bore, bore - gap, 50 * MM)
    assert rocking.rock_angle(bore, bore - gap - more, 50 * MM) > angle
    assert rocking.rock_angle(bore, bore - gap, 60 * MM) < angle
    # For a small angle the skirt turns by the clearance over its length.
    assert angle == pytest.approx(math.atan(gap / (50 * MM)), rel=0.02)


@pytest.mark.parametrize(("module", "kind"), [(main_journals, "main_journal"), (crankpins, "crankpin")])
@given(
    nominal=st.floats(30 * MM, 90 * MM),
    ground=st.floats(0, 1.2),
    steps=st.lists(st.integers(1, 8), min_size=1, max_size=5),
)
def test_class_and_residual_make_the_journal_again(module, kind, nominal, ground, steps):
    """Nominal less its class, and what is left: the measured mean."""
    mean = nominal - ground * MM
    offered = np.array(steps) * 0.125 * MM

    def function(name):
        return getattr(module, f"{kind}_{name}")

    undersize = function("undersize")(nominal, mean)
    gap = function("step_gap")(undersize, offered)
    nearest = np.ravel(function("class")(gap, offered, MM))[0]
    assert nearest in offered
    residual = function("residual")(mean, nominal, nearest)
    assert nominal - nearest + residual == pytest.approx(mean, abs=1e-15)
    assert abs(residual) <= np.min(gap) + 1e-12


@given(swept=st.floats(100 * CM3, 900 * CM3), ratio=RATIO)
def test_a_ratio_falls_by_its_own_rule_when_the_chamber_grows(swept, ratio):
    held = wanted_ratio.wanted_clearance_volume(swept, ratio)
    slope = wanted_ratio.ratio_per_volume(swept, held)
    assert slope < 0
    larger = compression.compression_ratio(swept, held * (1 + 1e-6))
    assert (larger - ratio) / (held * 1e-6) == pytest.approx(slope, rel=1e-3)
