"""Which piston suits which bore: the smallest piston to the smallest bore, and so on."""

import numpy as np

from validators.reference.value import Value, only_where, picked, rounded_nine

__not_quantities__ = ("rank", "size_compared")


def size_compared(size: Value, shown_length: Value) -> Value:
    r"""Round a size at nine decimals of the shown unit, so that equal sizes are equal.

    Parameters
    ----------
    size : any shape, [m]
    shown_length : any shape, [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    size_compared : the broadcast shape, [m]

    Examples
    --------
    >>> float(size_compared(0.1 + 0.2, 1.0))
    0.3
    """
    return rounded_nine(size / shown_length) * shown_length


def pairing_bore_size(bore_thrust_least: Value, shown_length: Value) -> Value:
    r"""Size by which bores are compared.

    .. math:: B_i \text{ at nine decimals of the shown unit}

    Parameters
    ----------
    bore_thrust_least : shape (..., cylinder), [m]
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    pairing_bore_size : shape (..., cylinder), [m]

    Notes
    -----
    nan where the bore is not known.

    Source
    ------
    Common practice, no source.
    """
    return size_compared(bore_thrust_least, shown_length)


def pairing_piston_size(piston_size: Value, shown_length: Value) -> Value:
    r"""Size by which pistons are compared.

    .. math:: D_i \text{ at nine decimals of the shown unit}

    Parameters
    ----------
    piston_size : shape (..., cylinder), [m]
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    pairing_piston_size : shape (..., cylinder), [m]

    Notes
    -----
    nan where the piston is not known.

    Source
    ------
    Common practice, no source.
    """
    return size_compared(piston_size, shown_length)


def rank(size: Value, cylinder_number: Value) -> Value:
    r"""Rank of every size in its list, along the last axis; ties go by cylinder number.

    .. math:: k_i = \#\{x_j < x_i\} + \#\{x_j = x_i, j \le i\}

    Parameters
    ----------
    size : shape (..., cylinder), [m]
    cylinder_number : shape (..., cylinder), [1]

    Returns
    -------
    rank : shape (..., cylinder), [1]

    Notes
    -----
    nan for the whole list if any size is nan.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> rank(np.array([3.0, 2.0, 3.0]), np.array([1, 2, 3])).tolist()
    [2.0, 1.0, 3.0]
    """
    this, other = size[..., :, np.newaxis], size[..., np.newaxis, :]
    number, other_number = cylinder_number[..., :, np.newaxis], cylinder_number[..., np.newaxis, :]
    smaller = np.sum(other < this, axis=-1)
    equal = np.sum((other == this) & (other_number <= number), axis=-1)
    every_size_known = ~np.any(np.isnan(size), axis=-1, keepdims=True)
    return only_where(every_size_known, smaller + equal)


def pairing_bore_rank(pairing_bore_size: Value, cylinder_number: Value) -> Value:
    r"""Rank of a bore by its size on the thrust axis, smallest first.

    .. math:: k_i = \#\{B_j < B_i\} + \#\{B_j = B_i, j \le i\}

    Parameters
    ----------
    pairing_bore_size : shape (..., cylinder), [m]
    cylinder_number : shape (..., cylinder), [1]

    Returns
    -------
    pairing_bore_rank : shape (..., cylinder), [1]

    Notes
    -----
    nan unless every bore is known.

    Source
    ------
    Common practice, no source.
    """
    return rank(pairing_bore_size, cylinder_number)


def pairing_piston_rank(pairing_piston_size: Value, cylinder_number: Value) -> Value:
    r"""Rank of a piston by its size, smallest first.

    .. math:: k_i = \#\{D_j < D_i\} + \#\{D_j = D_i, j \le i\}

    Parameters
    ----------
    pairing_piston_size : shape (..., cylinder), [m]
    cylinder_number : shape (..., cylinder), [1]

    Returns
    -------
    pairing_piston_rank : shape (..., cylinder), [1]

    Notes
    -----
    nan unless every piston is known.

    Source
    ------
    Common practice, no source.
    """
    return rank(pairing_piston_size, cylinder_number)


def pairing_piston(
    pairing_bore_rank: Value, pairing_piston_rank: Value, cylinder_number: Value
) -> Value:
    r"""Cylinder for which the piston that suits this bore is listed now.

    .. math:: p(i) = j \text{ with } k_{D,j} = k_{B,i}

    Parameters
    ----------
    pairing_bore_rank : shape (..., cylinder), [1]
    pairing_piston_rank : shape (..., cylinder), [1]
    cylinder_number : shape (..., cylinder), [1]

    Returns
    -------
    pairing_piston : shape (..., cylinder), [1]

    Notes
    -----
    nan unless every bore and every piston is known.

    Source
    ------
    Sorting is optimal for a convex cost of the difference, rearrangement inequality (from memory).
    """
    same_rank = np.equal(
        pairing_bore_rank[..., :, np.newaxis], pairing_piston_rank[..., np.newaxis, :]
    )
    return picked(same_rank, cylinder_number[..., np.newaxis, :])


def pairing_mark(pairing_piston: Value, cylinder_number: Value, piston_mark: Value) -> Value:
    r"""Mark of the piston that suits this bore.

    .. math:: m_{p(i)}

    Parameters
    ----------
    pairing_piston : shape (..., cylinder), [1]
    cylinder_number : shape (..., cylinder), [1]
    piston_mark : shape (..., cylinder), [1]

    Returns
    -------
    pairing_mark : shape (..., cylinder), [1]

    Notes
    -----
    nan if the pairing is not known or that piston has no mark.

    Source
    ------
    Common practice, no source.
    """
    listed_there = np.equal(pairing_piston[..., :, np.newaxis], cylinder_number[..., np.newaxis, :])
    return picked(listed_there, piston_mark[..., np.newaxis, :])


def pairing_deviation_now(
    bore_thrust_least: Value, piston_size: Value, piston_clearance_target: Value
) -> Value:
    r"""Clearance minus the wanted one, with the pistons as listed.

    .. math:: B_i - D_i - C^*

    Parameters
    ----------
    bore_thrust_least : shape (..., cylinder), [m]
    piston_size : shape (..., cylinder), [m]
    piston_clearance_target : shape (...), [m]

    Returns
    -------
    pairing_deviation_now : shape (..., cylinder), [m]

    Notes
    -----
    Needs only its own cylinder.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(pairing_deviation_now(0.086010, 0.085955, 54e-6)) * 1e6
    1.0
    """
    return bore_thrust_least - piston_size - piston_clearance_target


def pairing_deviation(
    bore_thrust_least: Value,
    piston_size: Value,
    pairing_piston: Value,
    cylinder_number: Value,
    piston_clearance_target: Value,
) -> Value:
    r"""Clearance minus the wanted one, with the piston that suits.

    .. math:: B_i - D_{p(i)} - C^*

    Parameters
    ----------
    bore_thrust_least : shape (..., cylinder), [m]
    piston_size : shape (..., cylinder), [m]
    pairing_piston : shape (..., cylinder), [1]
    cylinder_number : shape (..., cylinder), [1]
    piston_clearance_target : shape (...), [m]

    Returns
    -------
    pairing_deviation : shape (..., cylinder), [m]

    Notes
    -----
    nan unless every bore and every piston is known.

    Source
    ------
    Common practice, no source.
    """
    listed_there = np.equal(pairing_piston[..., :, np.newaxis], cylinder_number[..., np.newaxis, :])
    paired_size = picked(listed_there, piston_size[..., np.newaxis, :])
    return bore_thrust_least - paired_size - piston_clearance_target


def pairing_worst_now(pairing_deviation_now: Value) -> Value:
    r"""Worst deviation from the wanted clearance, as listed.

    .. math:: \max_i |d_i|

    Parameters
    ----------
    pairing_deviation_now : shape (..., cylinder), [m]

    Returns
    -------
    pairing_worst_now : shape (...), [m]

    Notes
    -----
    nan if any deviation is nan.

    Source
    ------
    Common practice, no source.
    """
    return np.max(np.abs(pairing_deviation_now), axis=-1)


def pairing_clearance_now(
    pairing_deviation_now: Value, piston_clearance_target: Value, shown_length: Value
) -> Value:
    r"""Clearance of the pair that is furthest from the wanted clearance, as listed.

    .. math:: C^* + d_k, \quad |d_k| = \max_i |d_i|

    Parameters
    ----------
    pairing_deviation_now : shape (..., cylinder), [m]
    piston_clearance_target : shape (...), [m]
    shown_length : shape (...), [m]

    Returns
    -------
    pairing_clearance_now : shape (...), [m]

    Notes
    -----
    nan if any deviation is nan. Of two equally far, at nine decimals of the unit that the workbook shows,
    the tighter one: it is the greater harm.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(pairing_clearance_now(np.array([0.004, -0.006]), np.array([0.054]), np.array([1.0])))
    0.048
    """
    loosest, tightest = np.max(pairing_deviation_now, axis=-1), np.min(pairing_deviation_now, axis=-1)
    looser = rounded_nine((loosest + tightest) / shown_length[..., 0]) > 0
    return piston_clearance_target[..., 0] + np.where(looser, loosest, tightest)


def pairing_squares_now(pairing_deviation_now: Value) -> Value:
    r"""Sum of the squared deviations from the wanted clearance, as listed.

    .. math:: \sum_i d_i^2

    Parameters
    ----------
    pairing_deviation_now : shape (..., cylinder), [m]

    Returns
    -------
    pairing_squares_now : shape (...), [m^2]

    Notes
    -----
    nan if any deviation is nan.

    Source
    ------
    Common practice, no source.
    """
    return np.sum(pairing_deviation_now**2, axis=-1)


def pairing_worst(pairing_deviation: Value) -> Value:
    r"""Worst deviation from the wanted clearance, re-paired.

    .. math:: \max_i |d_i|

    Parameters
    ----------
    pairing_deviation : shape (..., cylinder), [m]

    Returns
    -------
    pairing_worst : shape (...), [m]

    Notes
    -----
    nan if any deviation is nan.

    Source
    ------
    Common practice, no source.
    """
    return np.max(np.abs(pairing_deviation), axis=-1)


def pairing_squares(pairing_deviation: Value) -> Value:
    r"""Sum of the squared deviations from the wanted clearance, re-paired.

    .. math:: \sum_i d_i^2

    Parameters
    ----------
    pairing_deviation : shape (..., cylinder), [m]

    Returns
    -------
    pairing_squares : shape (...), [m^2]

    Notes
    -----
    nan if any deviation is nan.

    Source
    ------
    Common practice, no source.
    """
    return np.sum(pairing_deviation**2, axis=-1)
