"""Bias and limits of agreement against a published example and against a library of statistics."""

import math

import numpy as np
import pytest
from scipy import stats

from validators.compare.agreement import agreement
from validators.compare.student import student_factor, student_within

# Peak expiratory flow in l/min of 17 subjects by two meters, first measurements.
# Bland and Altman 1986, table 1 (from memory; the sums below are the ones that are printed there).
LARGE = [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427]
MINI = [512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451]


def test_the_published_example_comes_out_as_printed():
    """Mean -2.1, s 38.8, interval of the bias -22.0 to 17.8."""
    found = agreement(LARGE, MINI)
    assert round(found.bias, 1) == -2.1
    assert round(found.spread, 1) == 38.8
    assert round(found.bias_interval.lower, 1) == pytest.approx(-22.0, abs=0.11)
    assert round(found.bias_interval.upper, 1) == pytest.approx(17.8, abs=0.11)
    assert not found.is_biased
    # The paper prints limits with the factor 2, -79.7 and 75.5: the same bias and s with that factor.
    assert round(round(found.bias, 1) - 2 * round(found.spread, 1), 1) == -79.7
    assert round(round(found.bias, 1) + 2 * round(found.spread, 1), 1) == 75.5
    # Its interval of the lower limit, -114.3 to -45.1, takes 3 s²/n for the variance of a limit.
    half = student_factor(0.95, 16) * math.sqrt(3 / 17) * 38.8
    assert (round(-79.7 - half, 1), round(-79.7 + half, 1)) == (-114.3, -45.1)
    own = (found.lower_interval.upper - found.lower_interval.lower) / 2
    assert own == pytest.approx(half, rel=0.02)


@pytest.mark.parametrize("count", [2, 3, 4, 7, 36, 144])
def test_every_figure_agrees_with_scipy(count):
    """The interval of the bias is that of a paired t test; the limits are those of the normal law."""
    draw = np.random.default_rng(count)
    first = draw.normal(86.0, 0.01, count)
    second = first + draw.normal(0.001, 0.002, count)
    found = agreement(list(first), list(second))
    reference = stats.ttest_rel(first, second).confidence_interval(0.95)
    assert found.bias_interval.lower == pytest.approx(reference.low, rel=1e-9)
    assert found.bias_interval.upper == pytest.approx(reference.high, rel=1e-9)
    spread = np.std(first - second, ddof=1)
    assert found.spread == pytest.approx(spread, rel=1e-9)
    width = found.limits.upper - found.limits.lower
    assert width == pytest.approx(2 * stats.norm.ppf(0.975) * spread, rel=1e-4)
    assert found.is_biased == (stats.ttest_rel(first, second).pvalue < 0.05)


def test_the_interval_of_a_limit_holds_as_often_as_it_says():
    """Over many drawn studies the true limit lies in the interval about 95 times of 100."""
    draw = np.random.default_rng(7)
    studies, count = 2000, 30
    held = 0
    for _ in range(studies):
        differences = draw.normal(0.3, 2.0, count)
        found = agreement(list(differences), [0.0] * count)
        held += found.upper_interval.lower <= 0.3 + 1.96 * 2.0 <= found.upper_interval.upper
    assert 0.93 < held / studies < 0.97


def test_one_pair_has_a_bias_and_nothing_else():
    """No spread can be told of a single difference."""
    found = agreement([2.0], [1.5])
    assert (found.bias, found.spread, found.limits, found.is_biased) == (0.5, None, None, False)


@pytest.mark.parametrize("freedom", [*range(1, 12), 29, 30, 143, 1000])
def test_student_agrees_with_scipy(freedom):
    """Odd and even degrees of freedom have sums of their own."""
    for confidence in (0.5, 0.9, 0.95, 0.999):
        factor = student_factor(confidence, freedom)
        assert factor == pytest.approx(stats.t.ppf((1 + confidence) / 2, freedom), rel=1e-10)
        assert student_within(factor, freedom) == pytest.approx(confidence, rel=1e-12)


def test_what_student_cannot_tell_is_refused():
    """A share of one, or no degree of freedom."""
    for confidence, freedom in ((1.0, 5), (0.95, 0)):
        with pytest.raises(ValueError, match="degrees of freedom"):
            student_factor(confidence, freedom)
