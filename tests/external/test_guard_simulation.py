"""Guarded verdicts on parts of known size: wrong no more often than the rule promises."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom, norm

from tests.external.guard_simulation import SCENES, shares_of, tail
from tests.external.simulated_gauges import FACTOR, GAP
from validators.reference.extremes import extreme_guard

COUNT = 40_000


@pytest.mark.parametrize("scene", SCENES, ids=lambda scene: scene.name)
def test_a_verdict_is_wrong_no_more_often_than_promised(scene):
    """One in ten thousand runs may fail by chance; the seed is fixed."""
    for share in shares_of(scene, COUNT, seed=1):
        most = binom.ppf(1 - 1e-4, COUNT, share.promised) / COUNT
        assert share.found <= most, share


def test_the_promise_is_that_of_the_normal_distribution():
    assert tail(FACTOR) == pytest.approx(0.0227501, abs=1e-7)
    assert tail(1.6448536) == pytest.approx(0.05, abs=1e-7)


@pytest.mark.parametrize("scene", SCENES, ids=lambda scene: scene.name)
def test_half_the_guard_would_not_keep_the_promise(scene):
    """Were the guard half as wide, the simulation would say so: it can fail."""
    value, guard, true, _ = scene.guarded(2, COUNT)
    beyond = max(((value - true) > guard / 2).mean(), ((true - value) > guard / 2).mean())
    assert beyond > 1.2 * tail(FACTOR)
    assert not math.isnan(beyond)


def test_where_the_step_rules_the_share_depends_on_the_place_between_two_steps():
    """What the simulation averages over, worked out with scipy for the ring gap and told in its text."""
    noise = math.hypot(GAP.repeats / math.sqrt(GAP.count), GAP.certificate / 2) / GAP.resolution
    guard = GAP.plain_guard / GAP.resolution

    def wrongly_over(place):
        steps = [step for step in range(-3, 5) if step - place > guard]
        return sum(norm.cdf((s + 0.5 - place) / noise) - norm.cdf((s - 0.5 - place) / noise) for s in steps)

    shares = [wrongly_over(place) for place in np.linspace(0, 1, 2001)]
    assert np.mean(shares) < tail(FACTOR)
    assert max(shares) == pytest.approx(0.154, abs=2e-3)
    gap = next(scene for scene in SCENES if scene.name == "ring gap")
    found = {share.wrong: share.found for share in shares_of(gap, 400_000, seed=3)}
    assert found["over"] == pytest.approx(np.mean(shares), abs=4 * math.sqrt(0.017 / 400_000))


@pytest.mark.parametrize("scene", [scene for scene in SCENES if scene.quantity], ids=lambda scene: scene.name)
def test_the_guard_of_one_reading_would_not_keep_the_promise_of_an_extreme(scene):
    """What the wider guard is for; parts that are mostly one shared error need it least."""
    value, guard, true, _ = scene.measure(np.random.default_rng(4), 400_000)
    beyond = max(((value - true) > guard).mean(), ((true - value) > guard).mean())
    wider = max(((value - true) > scene.guarded(4, 400_000)[1]).mean(), 0.0)
    assert wider < beyond
    if scene.quantity != "chamber_spread":  # there the certificate is counted twice though it cancels
        assert beyond > 1.1 * tail(FACTOR)


@given(factor=st.floats(1e-3, 4), chances=st.integers(1, 60))
def test_so_many_chances_together_are_no_more_than_one_before(factor, chances):
    """Bonferroni's sum of the tails beyond the wider guard, by scipy, for every factor that may be typed."""
    wider = float(extreme_guard(factor, factor, chances))
    assert chances * norm.sf(wider) <= norm.sf(factor) * (1 + 1e-12)
    assert chances * norm.sf(wider) > 0.5 * norm.sf(factor) or factor < 1.5
