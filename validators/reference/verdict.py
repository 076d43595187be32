"""The verdict on a figure against its limits, with a guard band."""

import numpy as np

from validators.reference.value import Value, rounded_nine
from validators.reference.words import LimitState, Verdict

__not_quantities__ = ("limit_state", "verdict")


def limit_state(lower: Value, upper: Value, shown_unit: Value) -> Value:
    r"""Say whether a pair of limits can be used.

    .. math:: L \le H

    Parameters
    ----------
    lower, upper : shapes that broadcast, any unit
        nan for a limit that is not set.
    shown_unit : shape that broadcasts, the same dimension
        Size of the unit that the workbook shows.

    Returns
    -------
    limit_state : the broadcast shape, [1]

    Notes
    -----
    Never nan. Compared at nine decimals of the shown unit.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> LimitState(int(limit_state(0.04, 0.06, 1.0))).text
    'set'
    """
    neither = np.isnan(lower) & np.isnan(upper)
    crossed = rounded_nine((lower - upper) / shown_unit) > 0
    return np.select(
        [neither, crossed], [LimitState.NO_LIMIT_SET, LimitState.CHECK_LIMITS], LimitState.SET
    )


def verdict(value: Value, lower: Value, upper: Value, guard: Value, shown_unit: Value) -> Value:
    r"""Judge a figure against its limits, with a guard band on either side of each.

    .. math::
        L + g \le y \le H - g \text{ within, }
        y < L - g \text{ under, } y > H + g \text{ over}

    Parameters
    ----------
    value, lower, upper, guard : shapes that broadcast, any unit
        nan for a limit that is not set.
    shown_unit : shape that broadcasts, the same dimension
        Size of the unit that the workbook shows.

    Returns
    -------
    verdict : the broadcast shape, [1]

    Notes
    -----
    Never nan. Compared at nine decimals of the shown unit.

    Source
    ------
    ISO 14253-1, decision rules for proving conformity or nonconformity (from memory).

    Examples
    --------
    >>> Verdict(int(verdict(0.043, 0.040, 0.060, 0.004, 1.0))).text
    'too close to call'
    """
    no_lower, no_upper = np.isnan(lower), np.isnan(upper)
    state = limit_state(lower, upper, shown_unit)

    under = rounded_nine((value - (lower - guard)) / shown_unit) < 0
    over = rounded_nine((value - (upper + guard)) / shown_unit) > 0
    above_lower = no_lower | (rounded_nine((value - (lower + guard)) / shown_unit) >= 0)
    below_upper = no_upper | (rounded_nine((value - (upper - guard)) / shown_unit) <= 0)
    return np.select(
        [
            np.isnan(value) | np.isnan(guard),
            np.equal(state, LimitState.NO_LIMIT_SET),
            np.equal(state, LimitState.CHECK_LIMITS),
            under,
            over,
            above_lower & below_upper,
        ],
        [
            Verdict.NOT_MEASURED,
            Verdict.NO_LIMIT_SET,
            Verdict.CHECK_LIMITS,
            Verdict.UNDER,
            Verdict.OVER,
            Verdict.WITHIN,
        ],
        Verdict.TOO_CLOSE,
    )
