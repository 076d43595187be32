"""Pins, pin holes and small ends: sizes at 20 °C and their clearances."""

import numpy as np

from validators.reference.measuring import size_at_reference
from validators.reference.value import Value, only_where
from validators.reference.words import PinFit


def pin_hole_size(
    pin_hole_reading: Value,
    entry_form_pin_hole: Value,
    setting_size_pin_hole: Value,
    setting_error_pin_hole: Value,
    dial_sense_pin_hole: Value,
    part_factor_pin_hole: Value,
    reference_factor_pin_hole: Value,
    size_lowest: Value,
    size_highest: Value,
    dial_travel: Value,
) -> Value:
    r"""Size of the pin hole of a piston, at 20 °C.

    .. math:: D = I \frac{f_g}{f_p} \qquad D = \frac{(S + e_s) f_g + s_n d}{f_p}

    Parameters
    ----------
    pin_hole_reading : shape (..., cylinder), [m]
    entry_form_pin_hole : shape (...), [1]
    setting_size_pin_hole : shape (...), [m]
    setting_error_pin_hole : shape (...), [m]
    dial_sense_pin_hole : shape (...), [1]
    part_factor_pin_hole : shape (...), [1]
    reference_factor_pin_hole : shape (...), [1]
    size_lowest : shape (...), [m]
    size_highest : shape (...), [m]
    dial_travel : shape (...), [m]

    Returns
    -------
    pin_hole_size : shape (..., cylinder), [m]

    Notes
    -----
    nan if the reading is outside what is believed of the form it was typed in.

    Source
    ------
    ISO 1 (from memory).

    Examples
    --------
    >>> believed = (0.0005, 0.4, 0.0015)
    >>> float(pin_hole_size(4e-6, 1, 0.022, 2e-6, 0, 1.0, 1.0, *believed)) * 1e3
    22.006
    """
    return size_at_reference(
        pin_hole_reading,
        entry_form_pin_hole,
        setting_size_pin_hole,
        setting_error_pin_hole,
        dial_sense_pin_hole,
        part_factor_pin_hole,
        reference_factor_pin_hole,
        size_lowest,
        size_highest,
        dial_travel,
    )


def pin_size(
    pin_reading: Value,
    entry_form_pin: Value,
    setting_size_pin: Value,
    setting_error_pin: Value,
    dial_sense_pin: Value,
    part_factor_pin: Value,
    reference_factor_pin: Value,
    size_lowest: Value,
    size_highest: Value,
    dial_travel: Value,
) -> Value:
    r"""Size of a piston pin, at 20 °C.

    .. math:: D = I \frac{f_g}{f_p} \qquad D = \frac{(S + e_s) f_g + s_n d}{f_p}

    Parameters
    ----------
    pin_reading : shape (..., cylinder), [m]
    entry_form_pin : shape (...), [1]
    setting_size_pin : shape (...), [m]
    setting_error_pin : shape (...), [m]
    dial_sense_pin : shape (...), [1]
    part_factor_pin : shape (...), [1]
    reference_factor_pin : shape (...), [1]
    size_lowest : shape (...), [m]
    size_highest : shape (...), [m]
    dial_travel : shape (...), [m]

    Returns
    -------
    pin_size : shape (..., cylinder), [m]

    Notes
    -----
    nan if the reading is outside what is believed of the form it was typed in.

    Source
    ------
    ISO 1 (from memory).

    Examples
    --------
    >>> believed = (0.0005, 0.4, 0.0015)
    >>> float(pin_size(-1.5e-6, 1, 0.022, 0.0, 0, 1.0, 1.0, *believed)) * 1e3
    21.9985
    """
    return size_at_reference(
        pin_reading,
        entry_form_pin,
        setting_size_pin,
        setting_error_pin,
        dial_sense_pin,
        part_factor_pin,
        reference_factor_pin,
        size_lowest,
        size_highest,
        dial_travel,
    )


def bush_size(
    bush_reading: Value,
    entry_form_bush: Value,
    setting_size_bush: Value,
    setting_error_bush: Value,
    dial_sense_bush: Value,
    part_factor_bush: Value,
    reference_factor_bush: Value,
    size_lowest: Value,
    size_highest: Value,
    dial_travel: Value,
) -> Value:
    r"""Size of the small end of a rod, at 20 °C.

    .. math:: D = I \frac{f_g}{f_p} \qquad D = \frac{(S + e_s) f_g + s_n d}{f_p}

    Parameters
    ----------
    bush_reading : shape (..., cylinder), [m]
    entry_form_bush : shape (...), [1]
    setting_size_bush : shape (...), [m]
    setting_error_bush : shape (...), [m]
    dial_sense_bush : shape (...), [1]
    part_factor_bush : shape (...), [1]
    reference_factor_bush : shape (...), [1]
    size_lowest : shape (...), [m]
    size_highest : shape (...), [m]
    dial_travel : shape (...), [m]

    Returns
    -------
    bush_size : shape (..., cylinder), [m]

    Notes
    -----
    nan if the reading is outside what is believed of the form it was typed in.

    Source
    ------
    ISO 1 (from memory).

    Examples
    --------
    >>> believed = (0.0005, 0.4, 0.0015)
    >>> float(bush_size(-13e-6, 1, 0.022, 0.0, 1, 1.0, 1.0, *believed)) * 1e3
    22.013
    """
    return size_at_reference(
        bush_reading,
        entry_form_bush,
        setting_size_bush,
        setting_error_bush,
        dial_sense_bush,
        part_factor_bush,
        reference_factor_bush,
        size_lowest,
        size_highest,
        dial_travel,
    )


def piston_pin_clearance(pin_hole_size: Value, pin_size: Value) -> Value:
    r"""Clearance of a pin in its piston.

    .. math:: C = D_{hole} - D_{pin}

    Parameters
    ----------
    pin_hole_size : shape (..., cylinder), [m]
    pin_size : shape (..., cylinder), [m]

    Returns
    -------
    piston_pin_clearance : shape (..., cylinder), [m]

    Notes
    -----
    Zero or less is shown as it is: an interference.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(piston_pin_clearance(0.022006, 0.0219985)) * 1e3
    0.0075
    """
    return pin_hole_size - pin_size


def bush_pin_clearance(bush_size: Value, pin_size: Value, pin_fit: Value) -> Value:
    r"""Clearance of a floating pin in the small end of its rod.

    .. math:: C = D_{bush} - D_{pin}

    Parameters
    ----------
    bush_size : shape (..., cylinder), [m]
    pin_size : shape (..., cylinder), [m]
    pin_fit : shape (...), [1]

    Returns
    -------
    bush_pin_clearance : shape (..., cylinder), [m]

    Notes
    -----
    nan unless the pin floats. Zero or less is shown as it is.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(bush_pin_clearance(0.022013, 0.0219985, PinFit.FLOATING)) * 1e3
    0.0145
    """
    return only_where(np.equal(pin_fit, PinFit.FLOATING), bush_size - pin_size)
