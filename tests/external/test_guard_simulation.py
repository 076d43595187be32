"""Guarded verdicts on parts of known size: wrong no more often than the rule promises."""

import math

import numpy as np
import pytest
from scipy.stats import binom, norm

from tests.external.guard_simulation import FACTOR, GAP, SCENES, shares_of, tail

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
    value, guard, true, _ = scene.measure(np.random.default_rng(2), COUNT)
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
