"""Pins that are pressed into the rod: interference, heat for the small end, pressure and hold."""

import math

import numpy as np

from validators.reference.value import Value, only_where, rounded_nine
from validators.reference.words import PinFit


def pin_interference(pin_size: Value, bush_size: Value, pin_fit: Value) -> Value:
    r"""Interference of a pressed pin in the small end of its rod.

    .. math:: \delta = D_{pin} - D_{eye}

    Parameters
    ----------
    pin_size : shape (..., cylinder), [m]
    bush_size : shape (..., cylinder), [m]
    pin_fit : shape (...), [1]

    Returns
    -------
    pin_interference : shape (..., cylinder), [m]

    Notes
    -----
    nan where an input is missing, or the pin floats. Zero or less is shown as it is: nothing holds.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> float(pin_interference(22.028, 21.998, PinFit.PRESSED))
    0.03
    """
    return only_where(np.equal(pin_fit, PinFit.PRESSED), pin_size - bush_size)


def press_rise(
    pin_interference: Value,
    press_gap: Value,
    body_expansion_rod: Value,
    bush_size: Value,
    shown_length: Value,
) -> Value:
    r"""By how much the small end must be warmer than the pin, for a gap to put it in.

    .. math:: \Delta T = \frac{\delta + g}{\alpha d}

    Parameters
    ----------
    pin_interference : shape (..., cylinder), [m]
    press_gap : shape (...), [m]
    body_expansion_rod : shape (...), [1/K]
    bush_size : shape (..., cylinder), [m]
    shown_length : shape (...), [m]

    Returns
    -------
    press_rise : shape (..., cylinder), [K]

    Notes
    -----
    nan where there is no interference at nine decimals of the unit that the workbook shows, or an
    expansion or a size that cannot be.

    Source
    ------
    Free thermal expansion of a ring (textbooks on machine elements, from memory).

    Examples
    --------
    >>> float(press_rise(0.030, 0.020, 11.5e-6, 22.0, 1.0))
    197.6284585
    """
    held = rounded_nine(pin_interference / shown_length) > 0
    possible = held & (body_expansion_rod > 0) & (bush_size > 0)
    growth = only_where(possible, body_expansion_rod * bush_size)
    return (pin_interference + press_gap) / growth


def press_temperature(press_rise: Value, press_temperature_room: Value) -> Value:
    r"""Temperature of the small end when the pin goes in.

    .. math:: T = T_{room} + \Delta T

    Parameters
    ----------
    press_rise : shape (..., cylinder), [K]
    press_temperature_room : shape (...), [K]
        Of the shop, and of the pin.

    Returns
    -------
    press_temperature : shape (..., cylinder), [K]

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Sum.

    Examples
    --------
    >>> float(press_temperature(197.6, 293.15))
    490.75
    """
    return press_temperature_room + press_rise


def press_pressure(
    pin_interference: Value,
    bush_size: Value,
    small_eye_size: Value,
    pin_inside_size: Value,
    rod_modulus: Value,
    pin_modulus: Value,
    press_poisson: Value,
    shown_length: Value,
) -> Value:
    r"""Pressure between a pressed pin and its small end, taken as two thick rings.

    .. math::
        p = \frac{\delta}{d \left[
        \frac{1}{E_o}\left(\frac{D_o^2 + d^2}{D_o^2 - d^2} + \nu\right)
        + \frac{1}{E_i}\left(\frac{d^2 + d_i^2}{d^2 - d_i^2} - \nu\right)\right]}

    Parameters
    ----------
    pin_interference : shape (..., cylinder), [m]
    bush_size : shape (..., cylinder), [m]
        Diameter of the fit.
    small_eye_size : shape (...), [m]
        Outside of the eye.
    pin_inside_size : shape (...), [m]
        Inside of the pin; nothing for a solid one.
    rod_modulus : shape (...), [Pa]
    pin_modulus : shape (...), [Pa]
    press_poisson : shape (...), [1]
    shown_length : shape (...), [m]

    Returns
    -------
    press_pressure : shape (..., cylinder), [Pa]

    Notes
    -----
    nan where there is no interference, or rings that cannot be; lengths are compared at nine
    decimals of the unit that the workbook shows. Real eyes are no round rings.

    Source
    ------
    Lamé equations of thick rings (textbooks on machine elements, from memory).

    Examples
    --------
    >>> float(press_pressure(0.030, 22.0, 34.0, 13.0, 206e3, 206e3, 0.3, 1.0))
    62.23763927
    """
    possible = (
        (rounded_nine(pin_interference / shown_length) > 0)
        & (rounded_nine((small_eye_size - bush_size) / shown_length) > 0)
        & (pin_inside_size >= 0)
        & (rounded_nine((bush_size - pin_inside_size) / shown_length) > 0)
        & (rod_modulus > 0)
        & (pin_modulus > 0)
        & (np.abs(press_poisson) < 1)
    )
    fit_size = only_where(possible, bush_size)
    outside, inside, fit = small_eye_size**2, pin_inside_size**2, fit_size**2
    eye = ((outside + fit) / (outside - fit) + press_poisson) / rod_modulus
    pin = ((fit + inside) / (fit - inside) - press_poisson) / pin_modulus
    return pin_interference / (fit_size * (eye + pin))


def press_holding(
    press_pressure: Value, bush_size: Value, small_eye_width: Value, press_friction: Value
) -> Value:
    r"""Force along the pin that a press fit holds.

    .. math:: F = \pi d l p \mu

    Parameters
    ----------
    press_pressure : shape (..., cylinder), [Pa]
    bush_size : shape (..., cylinder), [m]
    small_eye_width : shape (...), [m]
    press_friction : shape (...), [1]

    Returns
    -------
    press_holding : shape (..., cylinder), [N]

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Friction over the area of the fit (textbooks on machine elements, from memory).

    Examples
    --------
    >>> float(press_holding(62.23763927, 22.0, 24.0, 0.12))
    12388.48366
    """
    return math.pi * bush_size * small_eye_width * press_pressure * press_friction
