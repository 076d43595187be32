"""Valve lash, and the shim that brings it to what is wanted."""

import numpy as np

from validators.reference.present import smallest_present
from validators.reference.value import Value, first_match, picked, rounded_nine
from validators.reference.words import ShimState


def shim_needed(shim_present: Value, lash_reading: Value, lash_wanted: Value) -> Value:
    r"""Thickness of the shim that gives the lash wanted.

    .. math:: t^* = t + c - c^*

    Parameters
    ----------
    shim_present : shape (..., cylinder, valve), [m]
        Shim in place.
    lash_reading : shape (..., cylinder, valve), [m]
        Lash measured.
    lash_wanted : shape (..., valve), [m]
        Lash wanted.

    Returns
    -------
    shim_needed : shape (..., cylinder, valve), [m]
        Shim needed.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Sum of the gaps.

    Examples
    --------
    >>> shim_needed(2.75, 0.33, 0.25)
    2.83
    """
    return shim_present + lash_reading - lash_wanted


def shim_distance(shim_thickness: Value, shim_needed: Value, shown_length: Value) -> Value:
    r"""How far an offered shim is from the one needed.

    .. math:: |t_i - t^*|

    Parameters
    ----------
    shim_thickness : shape (..., shim), [m]
        Shim offered.
    shim_needed : shape (..., cylinder, valve), [m]
        Shim needed.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    shim_distance : shape (..., cylinder, valve, shim), [m]
        From the shim needed.

    Notes
    -----
    nan where an input is missing. Rounded at nine decimals of the unit that the workbook shows, so
    that two shims equally near are equal.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> float(shim_distance(2.85, 2.83, 1.0))
    0.02
    """
    away = np.abs(shim_thickness - shim_needed)
    return rounded_nine(away / shown_length) * shown_length


def shim_pick(shim_distance: Value, shim_thickness: Value) -> Value:
    r"""Offered shim that comes nearest the one needed; of two equally near the first listed.

    .. math:: t_i \text{ where } |t_i - t^*| = \min |t_i - t^*|

    Parameters
    ----------
    shim_distance : shape (..., cylinder, valve, shim), [m]
        From the shim needed.
    shim_thickness : shape (..., shim), [m]
        Shim offered.

    Returns
    -------
    shim_pick : shape (..., cylinder, valve), [m]
        Nearest shim.

    Notes
    -----
    nan where no shim is needed or offered. Distances stand at nine decimals already. Shims are listed
    thinnest first.

    Source
    ------
    Common practice: of two, the thinner leaves the larger lash, which is the lesser fault.

    Examples
    --------
    >>> offered = np.array([2.75, 2.80, 2.85])
    >>> float(shim_pick(np.abs(offered - 2.825), offered))
    2.8
    """
    nearest = smallest_present(shim_distance)[..., np.newaxis]
    return picked(first_match(nearest, shim_distance), shim_thickness)


def shim_state(
    shim_needed: Value, shim_pick: Value, shim_present: Value, shown_length: Value
) -> Value:
    r"""What to do about the shim of a valve.

    .. math:: t_i = t \text{: keep}

    Parameters
    ----------
    shim_needed : shape (..., cylinder, valve), [m]
        Shim needed.
    shim_pick : shape (..., cylinder, valve), [m]
        Nearest shim.
    shim_present : shape (..., cylinder, valve), [m]
        Shim in place.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    shim_state : shape (..., cylinder, valve), [1]
        Shim.

    Notes
    -----
    Waiting, where the shim needed is not known. Compared at nine decimals of the unit that the
    workbook shows.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> [int(shim_state(2.83, pick, 2.75, 1.0)) for pick in (np.nan, 2.75, 2.85)]
    [1, 2, 3]
    >>> int(shim_state(np.nan, np.nan, 2.75, 1.0))
    0
    """
    same = np.equal(rounded_nine((shim_pick - shim_present) / shown_length), 0)
    return np.select(
        [np.isnan(shim_needed), np.isnan(shim_pick), same],
        [ShimState.WAITING, ShimState.NO_SHIM_OFFERED, ShimState.KEEP],
        ShimState.CHANGE,
    )


def lash_after(shim_present: Value, lash_reading: Value, shim_pick: Value) -> Value:
    r"""Lash with the nearest shim.

    .. math:: t + c - t_i

    Parameters
    ----------
    shim_present : shape (..., cylinder, valve), [m]
        Shim in place.
    lash_reading : shape (..., cylinder, valve), [m]
        Lash measured.
    shim_pick : shape (..., cylinder, valve), [m]
        Nearest shim.

    Returns
    -------
    lash_after : shape (..., cylinder, valve), [m]
        Lash with it.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Sum of the gaps.

    Examples
    --------
    >>> lash_after(2.75, 0.33, 2.85)
    0.23
    """
    return shim_present + lash_reading - shim_pick
