"""Room of the rods along their crankpin."""

import numpy as np

from validators.reference.value import Value


def rod_width_used(rod_width: Value) -> Value:
    r"""Width of a rod as measured.

    .. math:: w

    Parameters
    ----------
    rod_width : shape (..., cylinder), [m]
        Rod width, big end.

    Returns
    -------
    rod_width_used : shape (..., cylinder), [m]
        Rod width, if it is a number.

    Notes
    -----
    nan where nothing, or no number, was typed.

    Source
    ------
    Handed on.

    Examples
    --------
    >>> rod_width_used(23.6)
    23.6
    """
    return rod_width


def rod_widths_on_pin(rod_width_used: Value, cylinder_crankpin: Value, crankpin_number: Value) -> Value:
    r"""Width of all rods that share a crankpin.

    .. math:: \sum_{rods\ on\ the\ pin} w

    Parameters
    ----------
    rod_width_used : shape (..., cylinder), [m]
        Rod width, if it is a number.
    cylinder_crankpin : shape (..., cylinder), [1]
        Crankpin.
    crankpin_number : shape (..., crankpin), [1]
        Crankpin.

    Returns
    -------
    rod_widths_on_pin : shape (..., crankpin), [m]
        Rod widths on the pin.

    Notes
    -----
    nan unless every rod on the pin is measured.

    Source
    ------
    Sum.

    Examples
    --------
    >>> widths, pins = np.array([[23.60, 23.60, 25.95]]), np.array([[1, 1, 2]])
    >>> rod_widths_on_pin(widths, pins, np.array([[1], [2]])).tolist()
    [47.2, 25.95]
    """
    on_this_pin = np.equal(cylinder_crankpin, crankpin_number)
    return np.sum(np.where(on_this_pin, rod_width_used, 0.0), axis=-1)


def rod_side_clearance(pin_width: Value, rod_widths_on_pin: Value) -> Value:
    r"""Side clearance of the rods on a crankpin.

    .. math:: w_{pin} - \sum w

    Parameters
    ----------
    pin_width : shape (..., crankpin), [m]
        Crankpin width.
    rod_widths_on_pin : shape (..., crankpin), [m]
        Rod widths on the pin.

    Returns
    -------
    rod_side_clearance : shape (..., crankpin), [m]
        Rod side clearance.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> rod_side_clearance(47.55, 47.20)
    0.35
    """
    return pin_width - rod_widths_on_pin
