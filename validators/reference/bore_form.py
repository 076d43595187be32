"""Form of the cylinder bores: out-of-round, taper, barrel."""

import numpy as np

from validators.reference.value import Value


def bore_out_of_round_at(bore_size_thrust: Value, bore_size_pin: Value) -> Value:
    r"""Difference of the two axes of a bore at one depth.

    .. math:: o_k = |X_k - Y_k|

    Parameters
    ----------
    bore_size_thrust : shape (..., cylinder, depth), [m]
    bore_size_pin : shape (..., cylinder, depth), [m]

    Returns
    -------
    bore_out_of_round_at : shape (..., cylinder, depth), [m]

    Notes
    -----
    A difference of diameters, as the trade means it; a roundness tolerance means radii.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(bore_out_of_round_at(0.086012, 0.086008)) * 1e6
    4.0
    """
    return np.abs(bore_size_thrust - bore_size_pin)


def bore_out_of_round(bore_out_of_round_at: Value) -> Value:
    r"""Worst out-of-round of a bore over its depths.

    .. math:: o = \max_k o_k

    Parameters
    ----------
    bore_out_of_round_at : shape (..., cylinder, depth), [m]

    Returns
    -------
    bore_out_of_round : shape (..., cylinder), [m]

    Notes
    -----
    nan if any of the three is nan.

    Source
    ------
    Common practice, no source.
    """
    return np.max(bore_out_of_round_at, axis=-1)


def bore_roundness(bore_out_of_round: Value) -> Value:
    r"""Half of the out-of-round: a lower bound of the roundness deviation.

    .. math:: o / 2

    Parameters
    ----------
    bore_out_of_round : shape (..., cylinder), [m]

    Returns
    -------
    bore_roundness : shape (..., cylinder), [m]

    Notes
    -----
    Two-point sizes do not see a shape with an odd number of lobes.

    Source
    ------
    ISO 12181 (from memory).

    Examples
    --------
    >>> float(bore_roundness(4e-6)) * 1e6
    2.0
    """
    return bore_out_of_round / 2


def bore_taper_of(bore_size: Value) -> Value:
    r"""Taper of a bore on one axis: largest minus smallest over the depths.

    .. math:: t = \max_k X_k - \min_k X_k

    Parameters
    ----------
    bore_size : shape (..., cylinder, depth, axis), [m]

    Returns
    -------
    bore_taper_of : shape (..., cylinder, axis), [m]

    Notes
    -----
    nan if any of the three on that axis is nan.

    Source
    ------
    Common practice, no source.
    """
    return np.max(bore_size, axis=-1) - np.min(bore_size, axis=-1)


def bore_taper(bore_taper_of: Value) -> Value:
    r"""Worse of the two tapers of a bore.

    .. math:: t = \max(t_X, t_Y)

    Parameters
    ----------
    bore_taper_of : shape (..., cylinder, axis), [m]

    Returns
    -------
    bore_taper : shape (..., cylinder), [m]

    Notes
    -----
    nan if either is nan.

    Source
    ------
    Common practice, no source.
    """
    return np.max(bore_taper_of, axis=-1)


def bore_trend(bore_size_top_thrust: Value, bore_size_bottom_thrust: Value) -> Value:
    r"""Signed taper on the thrust axis: top minus bottom.

    .. math:: X_1 - X_3

    Parameters
    ----------
    bore_size_top_thrust : shape (..., cylinder), [m]
    bore_size_bottom_thrust : shape (..., cylinder), [m]

    Returns
    -------
    bore_trend : shape (..., cylinder), [m]

    Notes
    -----
    nan where an input is nan.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(bore_trend(0.086012, 0.086006)) * 1e6
    6.0
    """
    return bore_size_top_thrust - bore_size_bottom_thrust


def bore_barrel(
    bore_size_top_thrust: Value, bore_size_middle_thrust: Value, bore_size_bottom_thrust: Value
) -> Value:
    r"""Barrel (positive) or waist (negative) on the thrust axis.

    .. math:: X_2 - \frac{X_1 + X_3}{2}

    Parameters
    ----------
    bore_size_top_thrust : shape (..., cylinder), [m]
    bore_size_middle_thrust : shape (..., cylinder), [m]
    bore_size_bottom_thrust : shape (..., cylinder), [m]

    Returns
    -------
    bore_barrel : shape (..., cylinder), [m]

    Notes
    -----
    nan where an input is nan.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(bore_barrel(0.086012, 0.086010, 0.086006)) * 1e6
    1.0
    """
    return bore_size_middle_thrust - (bore_size_top_thrust + bore_size_bottom_thrust) / 2
