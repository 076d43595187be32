"""The guard of a figure that is the largest or smallest of several readings."""

import numpy as np

from validators.reference.value import Value, only_where, rounded_nine

__not_quantities__ = ("chances_of", "extreme_guard")

CHANCES = {
    # Any of three depths may be the worst, or the smallest.
    "bore_out_of_round": 3,
    "piston_clearance": 3,
    # On each of two axes one end of the bore against the other two, or two against one.
    "bore_taper": 4,
    # Two ends of a journal, two directions across it.
    "main_journal_out_of_round": 2,
    "main_journal_taper": 2,
    "crankpin_out_of_round": 2,
    "crankpin_taper": 2,
    # Three angles; a range of three is one against two.
    "main_housing_least": 3,
    "main_housing_greatest": 3,
    "main_housing_out_of_round": 2,
    "rod_housing_least": 3,
    "rod_housing_greatest": 3,
    "rod_housing_out_of_round": 2,
    # The largest of four readings of the journal.
    "main_clearance": 4,
    "rod_clearance": 4,
    # The highest of four readings of the crown.
    "head_clearance_speed": 4,
    # Five crank angles.
    "intake_to_piston": 5,
    "exhaust_to_piston": 5,
    # The smallest of six readings of the bore.
    "ring_back_clearance": 6,
    # The looser of two bolts.
    "separation_margin": 2,
}
"""Readings of which any one may decide an extreme, by quantity."""

SPREADS = (
    "ratio_spread",
    "chamber_spread",
    "piston_mass_spread",
    "pin_mass_spread",
    "rod_small_spread",
    "rod_big_spread",
    "reciprocating_spread",
)
"""Ranges over the cylinders: any of one half may be the largest, any of the other the smallest."""


def chances_of(quantity: str, cylinders: Value) -> Value:
    r"""How many readings, or pairs of readings, may decide a figure.

    .. math:: n = \max\left(1, (N/2)^2\right) \text{ for the range of } N \text{ cylinders}

    Parameters
    ----------
    quantity : str
        The judged quantity, an extreme.
    cylinders : shape (...), [1]

    Returns
    -------
    chances_of : shape (...), [1]

    Notes
    -----
    For extremes only: any other figure has a guard of its own.

    Source
    ------
    Counted: of N in two groups there are at most N/2 times N/2 pairs.

    Examples
    --------
    >>> float(chances_of("rod_big_spread", 8)), chances_of("bore_taper", 8)
    (16.0, 4)
    """
    if quantity in SPREADS:
        return np.maximum(1.0, (cylinders / 2) ** 2)
    return CHANCES[quantity]


def extreme_guard(guard: Value, guard_factor: Value, chances: Value) -> Value:
    r"""Guard of an extreme of several readings, from the guard of one.

    .. math:: U_n = \sqrt{k^2 + 2 \ln n} \; \frac{U}{k}

    By Bonferroni's inequality the chance that any of n readings is beyond the guard is at most n times
    that of one, however they hang together.  Beyond x lies :math:`\varphi(x) R(x)` of a normal
    distribution, and Mills' ratio R falls; so beyond :math:`\sqrt{k^2 + 2 \ln n}` lies at most the nth
    part of what lies beyond k, and of all n together at most what lies beyond k.

    Parameters
    ----------
    guard : shape that broadcasts, any unit
        Expanded uncertainty of one reading, or of the difference of two.
    guard_factor : shape that broadcasts, [1]
    chances : shape that broadcasts, [1]

    Returns
    -------
    extreme_guard : the broadcast shape, the unit of the guard

    Notes
    -----
    The guard itself where its factor is nought or less: then no guard is wanted. Compared at nine
    decimals. nan where an input is nan.

    Source
    ------
    Bonferroni's inequality; J. P. Mills, Table of the ratio: area to bounding ordinate, Biometrika 18,
    1926 (both from memory). The decision rule that it serves: ISO 14253-1 (from memory).

    Examples
    --------
    >>> round(float(extreme_guard(2.0, 2.0, 3)), 6), float(extreme_guard(2.0, 2.0, 1))
    (2.489423, 2.0)
    >>> float(extreme_guard(0.0, 0.0, 3))
    0.0
    """
    wanted = rounded_nine(guard_factor) > 0
    factor = only_where(wanted, guard_factor)
    widened = np.sqrt(factor**2 + 2 * np.log(chances)) * (guard / factor)
    return only_where(~np.isnan(guard_factor), np.where(wanted, widened, guard))
