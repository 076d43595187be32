"""What a value is, and the few steps that every module shares."""

from typing import Any, TypeAlias

import numpy as np

__not_quantities__ = ("first_match", "only_where", "picked", "rounded_nine")

Value: TypeAlias = Any
"""A float, an array, or a quantity with a unit: the same line serves all three."""


def only_where(ok: Value, value: Value) -> Value:
    """Keep a value where a condition holds; nan elsewhere, in the unit of the value.

    Parameters
    ----------
    ok : truth values
        Where the value stands.
    value : any shape, any unit
        What is kept.

    Returns
    -------
    only_where : the broadcast shape, the unit of the value

    Examples
    --------
    >>> float(only_where(True, 2.5))
    2.5
    >>> float(only_where(False, 2.5))
    nan
    """
    return np.where(ok, value, np.nan)


def rounded_nine(ratio: Value) -> Value:
    """Round a plain number at nine decimals, half away from zero.

    Parameters
    ----------
    ratio : any shape, [1]
        A difference divided by the unit that the workbook shows.

    Returns
    -------
    rounded_nine : the same shape, [1]

    Examples
    --------
    >>> float(rounded_nine(0.06 - 0.01 - 0.05))
    0.0
    >>> float(rounded_nine(-0.0000000015))
    -2e-09
    """
    # A quotient such as metre over millimetre is one plain number only after reduction.
    plain = ratio.to_base_units() if hasattr(ratio, "to_base_units") else ratio
    return np.sign(plain) * np.floor(np.abs(plain) * 1e9 + 0.5) / 1e9


def first_match(wanted: Value, listed: Value) -> Value:
    """Mark the first place of a list, along the last axis, that equals what is wanted.

    Parameters
    ----------
    wanted : shape (..., 1), [1]
        Codes sought.
    listed : shape (..., places), [1]
        Codes of the list; nan equals nothing.

    Returns
    -------
    first_match : shape (..., places), truth values

    Examples
    --------
    >>> first_match(np.array([7.0]), np.array([3.0, 7.0, 7.0])).tolist()
    [False, True, False]
    """
    match = np.equal(wanted, listed)
    return match & (np.cumsum(match, axis=-1) == 1)


def picked(where: Value, value: Value) -> Value:
    """Take the one value, along the last axis, that is marked; nan where none is.

    Parameters
    ----------
    where : shape (..., places), truth values
        At most one true place.
    value : shape (..., places), any unit
        The values to pick from.

    Returns
    -------
    picked : shape (...), the unit of the value

    Examples
    --------
    >>> float(picked(np.array([False, True]), np.array([1.5, 2.5])))
    2.5
    >>> float(picked(np.array([False, False]), np.array([1.5, 2.5])))
    nan
    """
    chosen = np.sum(np.where(where, value, 0.0), axis=-1)
    return only_where(np.any(where, axis=-1), chosen)
