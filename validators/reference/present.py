"""The smallest and the largest of those values of a list that are there."""

import numpy as np

from validators.reference.value import Value, only_where

__not_quantities__ = ("largest_present", "smallest_present")


def smallest_present(values: Value) -> Value:
    """Smallest value along the last axis, missing ones passed over; nan where none is there.

    Parameters
    ----------
    values : shape (..., places), any unit
        The list.

    Returns
    -------
    smallest_present : shape (...), the unit of the list

    Examples
    --------
    >>> float(smallest_present(np.array([3.0, np.nan, 2.0])))
    2.0
    >>> float(smallest_present(np.array([np.nan, np.nan])))
    nan
    """
    missing = np.isnan(values)
    # What stands for a missing value is not smaller than any that is there.
    bound = np.max(np.nan_to_num(values), axis=-1, keepdims=True)
    return only_where(np.any(~missing, axis=-1), np.min(np.where(missing, bound, values), axis=-1))


def largest_present(values: Value) -> Value:
    """Largest value along the last axis, missing ones passed over; nan where none is there.

    Parameters
    ----------
    values : shape (..., places), any unit
        The list.

    Returns
    -------
    largest_present : shape (...), the unit of the list

    Examples
    --------
    >>> float(largest_present(np.array([-3.0, np.nan, -2.0])))
    -2.0
    """
    return -smallest_present(-values)
