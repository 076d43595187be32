"""Student's t for whole degrees of freedom, exact, without a library of statistics."""

from __future__ import annotations

import math

HALVINGS = 200


def student_within(t: float, freedom: int) -> float:
    r"""Return the probability that Student's t lies between -t and t.

    .. math::
        A(t|\nu) = \frac{2}{\pi}\left(\theta + \sin\theta\left(\cos\theta + \tfrac{2}{3}\cos^3\theta
        + \dots\right)\right) \text{ for odd } \nu, \quad
        \sin\theta\left(1 + \tfrac{1}{2}\cos^2\theta + \tfrac{1 \cdot 3}{2 \cdot 4}\cos^4\theta
        + \dots\right) \text{ for even } \nu, \quad \theta = \arctan\frac{t}{\sqrt\nu}

    The sums end with the power ν - 2 of the cosine.

    Source
    ------
    Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.3 and 26.7.4 (from memory).

    Examples
    --------
    >>> student_within(1.0, 1)
    0.5
    """
    theta = math.atan(t / math.sqrt(freedom))
    cosine, sine = math.cos(theta), math.sin(theta)
    odd = freedom % 2
    term = cosine if odd else 1.0
    total = term if freedom > 1 else 0.0
    for power in range(3 if odd else 2, freedom - 1, 2):
        term *= cosine**2 * (power - 1) / power
        total += term
    return 2 / math.pi * (theta + sine * total) if odd else sine * total


def student_factor(confidence: float, freedom: int) -> float:
    """Return the t that a share `confidence` of Student's distribution lies within, on both sides.

    Examples
    --------
    >>> round(student_factor(0.95, 16), 2)
    2.12
    """
    if not 0 < confidence < 1 or freedom < 1:
        raise ValueError(f"confidence {confidence}, degrees of freedom {freedom}")
    low, high = 0.0, 1.0
    while student_within(high, freedom) < confidence:
        high *= 2
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if student_within(middle, freedom) < confidence:
            low = middle
        else:
            high = middle
    return (low + high) / 2
