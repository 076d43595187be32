"""What main journals and crankpins have in common: form and undersize class."""

import numpy as np

from validators.reference.present import smallest_present
from validators.reference.value import Value, first_match, picked, rounded_nine

__not_quantities__ = ("nearest_step", "worst_out_of_round", "worst_taper")


def worst_out_of_round(size: Value) -> Value:
    """Largest difference between the two directions of one station.

    Parameters
    ----------
    size : shape (..., station, across), [m]
        The four sizes of a journal.

    Returns
    -------
    worst_out_of_round : shape (...), [m]
        nan unless all four sizes are there.

    Examples
    --------
    >>> float(worst_out_of_round(np.array([[5.0, 5.5], [5.25, 5.0]])))
    0.5
    """
    return np.max(np.max(size, axis=-1) - np.min(size, axis=-1), axis=-1)


def worst_taper(size: Value) -> Value:
    """Largest difference between the two stations in one direction.

    Parameters
    ----------
    size : shape (..., station, across), [m]
        The four sizes of a journal.

    Returns
    -------
    worst_taper : shape (...), [m]
        nan unless all four sizes are there.

    Examples
    --------
    >>> float(worst_taper(np.array([[5.0, 5.5], [5.25, 5.0]])))
    0.5
    """
    return np.max(np.max(size, axis=-2) - np.min(size, axis=-2), axis=-1)


def nearest_step(step_gap: Value, undersize_step: Value, shown_length: Value) -> Value:
    """Offered step with the smallest gap; of equal gaps the first.

    Parameters
    ----------
    step_gap : shape (..., step), [m]
        Distance of the journal from each step; nan where no step is offered.
    undersize_step : shape (..., step), [m]
        The steps, smallest first.
    shown_length : shape (..., 1), [m]
        SI size of the length unit that the workbook shows; gaps are compared in it at nine
        decimals.

    Returns
    -------
    nearest_step : shape (...), [m]
        nan where no gap is known.

    Examples
    --------
    >>> steps = np.array([0.0, 0.25])
    >>> float(nearest_step(np.abs(0.125 - steps), steps, 1.0))
    0.0
    """
    gap = rounded_nine(step_gap / shown_length)
    nearest = smallest_present(gap)[..., np.newaxis]
    return picked(first_match(nearest, gap), undersize_step)
