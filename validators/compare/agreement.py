"""Bias and limits of agreement of two series of readings of the same places."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from validators.compare.student import student_factor

CONFIDENCE = 0.95
NORMAL_FACTOR = 1.96
"""Two-sided 95 % of the normal distribution, as the method prints it."""


@dataclass(frozen=True, slots=True)
class Interval:
    """A range of values."""

    lower: float
    upper: float


@dataclass(frozen=True, slots=True)
class Agreement:
    """How two series agree; what a number of pairs is too small for is None.

    Attributes
    ----------
    count : int
        Pairs.
    bias : float
        Mean of the differences, first less second.
    bias_interval : Interval or None
        Its 95 % confidence interval.
    spread : float or None
        Standard deviation of the differences.
    limits : Interval or None
        Limits of agreement: about 95 % of differences lie between them, if they are normal.
    lower_interval, upper_interval : Interval or None
        The 95 % confidence interval of each limit.
    """

    count: int
    bias: float
    bias_interval: Interval | None = None
    spread: float | None = None
    limits: Interval | None = None
    lower_interval: Interval | None = None
    upper_interval: Interval | None = None

    @property
    def is_biased(self) -> bool:
        """Whether zero lies outside the confidence interval of the bias."""
        told = self.bias_interval
        return told is not None and not told.lower <= 0 <= told.upper


def agreement(first: Sequence[float], second: Sequence[float]) -> Agreement:
    r"""Return bias and limits of agreement of paired readings.

    .. math::
        d_i = a_i - b_i, \quad \bar d = \frac{1}{n} \sum d_i, \quad
        s = \sqrt{\frac{\sum (d_i - \bar d)^2}{n - 1}}

        \bar d \pm t_{0.975,\,n-1} \frac{s}{\sqrt n} \text{ (interval of the bias)}, \quad
        \bar d \pm 1.96\, s \text{ (limits of agreement)}

        t_{0.975,\,n-1}\; s \sqrt{\frac{1}{n} + \frac{1.96^2}{2 (n - 1)}}
        \text{ (half the interval of a limit)}

    Parameters
    ----------
    first, second : sequences of float
        Readings of the same places in the same order and unit, at least one.

    Source
    ------
    Bland and Altman, Statistical methods for assessing agreement between two methods of clinical
    measurement, 1986; the interval of a limit as in their Measuring agreement in method comparison
    studies, 1999 (both from memory).

    Examples
    --------
    >>> found = agreement([1.0, 2.0, 3.0], [1.1, 1.9, 3.3])
    >>> round(found.bias, 6), round(found.spread, 6)
    (-0.1, 0.2)
    """
    differences = [a - b for a, b in zip(first, second, strict=True)]
    count = len(differences)
    bias = math.fsum(differences) / count
    if count < 2:
        return Agreement(count, bias)
    spread = math.sqrt(math.fsum((d - bias) ** 2 for d in differences) / (count - 1))
    factor = student_factor(CONFIDENCE, count - 1)
    lower, upper = bias - NORMAL_FACTOR * spread, bias + NORMAL_FACTOR * spread
    of_limit = spread * math.sqrt(1 / count + NORMAL_FACTOR**2 / (2 * (count - 1)))
    return Agreement(
        count=count,
        bias=bias,
        bias_interval=_about(bias, factor * spread / math.sqrt(count)),
        spread=spread,
        limits=Interval(lower, upper),
        lower_interval=_about(lower, factor * of_limit),
        upper_interval=_about(upper, factor * of_limit),
    )


def _about(middle: float, half: float) -> Interval:
    return Interval(middle - half, middle + half)
