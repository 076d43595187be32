"""How the engine runs while the film is reckoned: speed, crank angle, piston acceleration."""

import numpy as np

from validators.reference.slider_crank import acceleration, crank_radius, pin_sideways
from validators.reference.value import Value


def duty_speed_used(duty_speed: Value, engine_speed: Value) -> Value:
    r"""Speed of a duty: its own, else the highest of the engine.

    .. math:: \omega

    Parameters
    ----------
    duty_speed : shape (..., duty), [rad/s]
        Engine speed.
    engine_speed : shape (...), [rad/s]
        Highest engine speed.

    Returns
    -------
    duty_speed_used : shape (..., duty), [rad/s]
        Speed used.

    Notes
    -----
    nan where both are missing.

    Source
    ------
    A choice, no equation.

    Examples
    --------
    >>> [float(duty_speed_used(own, 680.0)) for own in (450.0, np.nan)]
    [450.0, 680.0]
    """
    return np.where(np.isnan(duty_speed), engine_speed, duty_speed)


def duty_turning(duty_speed_used: Value) -> Value:
    r"""Speed of a duty as an angle in a time.

    .. math:: \omega

    Parameters
    ----------
    duty_speed_used : shape (..., duty), [rad/s]
        Speed used.

    Returns
    -------
    duty_turning : shape (..., duty), [rad/s]
        Speed as an angle.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    A matter of units: the sheet shows turns in a minute here, and an angle there.

    Examples
    --------
    >>> duty_turning(680.0)
    680.0
    """
    return duty_speed_used


def duty_sideways(stroke_nominal: Value, pin_offset: Value, duty_crank_angle: Value) -> Value:
    r"""Distance of the crankpin from the pin axis at the crank angle of a duty.

    .. math:: q = R \sin\theta + e

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    pin_offset : shape (...), [m]
        Pin or cylinder offset.
    duty_crank_angle : shape (..., duty), [rad]
        Crank angle of it.

    Returns
    -------
    duty_sideways : shape (..., duty), [m]
        Crankpin beside the pin axis.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Textbooks on theory of machines (from memory).

    Examples
    --------
    >>> float(duty_sideways(0.086, 0.0008, np.pi / 2))
    0.0438
    """
    return pin_sideways(crank_radius(stroke_nominal), pin_offset, duty_crank_angle)


def duty_upright(rod_length: Value, duty_sideways: Value) -> Value:
    r"""Length of the rod along the cylinder axis at the crank angle of a duty.

    .. math:: W = \sqrt{L^2 - q^2}

    Parameters
    ----------
    rod_length : shape (...), [m]
        Rod length, chosen.
    duty_sideways : shape (..., duty), [m]
        Crankpin beside the pin axis.

    Returns
    -------
    duty_upright : shape (..., duty), [m]
        Rod length along the axis.

    Notes
    -----
    nan where an input is missing. The rod is longer than the crank radius and the offset, or
    there is no rod length.

    Source
    ------
    Textbooks on theory of machines (from memory).

    Examples
    --------
    >>> float(duty_upright(0.143, 0.043))
    0.136381817
    """
    return np.sqrt(rod_length**2 - duty_sideways**2)


def duty_along(duty_crank_angle: Value, duty_sideways: Value, duty_upright: Value) -> Value:
    r"""Force of the rod on the crankpin, toward the crank along the throw, per force on the piston.

    .. math:: \frac{\cos(\theta + \beta)}{\cos\beta} = \cos\theta - \sin\theta \tan\beta,
        \qquad \tan\beta = \frac{q}{W}

    Parameters
    ----------
    duty_crank_angle : shape (..., duty), [rad]
        Crank angle of it.
    duty_sideways : shape (..., duty), [m]
        Crankpin beside the pin axis.
    duty_upright : shape (..., duty), [m]
        Rod length along the axis.

    Returns
    -------
    duty_along : shape (..., duty), [1]
        Rod force along the throw, share.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Textbooks on theory of machines (from memory).

    Examples
    --------
    >>> float(duty_along(np.pi / 2, 0.043, 0.136381817))
    -0.315291
    """
    tilt = np.arctan2(duty_sideways, duty_upright)
    return np.cos(duty_crank_angle + tilt) / np.cos(tilt)


def duty_across(duty_crank_angle: Value, duty_sideways: Value, duty_upright: Value) -> Value:
    r"""Force of the rod on the crankpin, square to the throw, per force on the piston.

    .. math:: \frac{\sin(\theta + \beta)}{\cos\beta} = \sin\theta + \cos\theta \tan\beta,
        \qquad \tan\beta = \frac{q}{W}

    Parameters
    ----------
    duty_crank_angle : shape (..., duty), [rad]
        Crank angle of it.
    duty_sideways : shape (..., duty), [m]
        Crankpin beside the pin axis.
    duty_upright : shape (..., duty), [m]
        Rod length along the axis.

    Returns
    -------
    duty_across : shape (..., duty), [1]
        Rod force square to it, share.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Textbooks on theory of machines (from memory).

    Examples
    --------
    >>> float(duty_across(np.pi / 2, 0.043, 0.136381817))
    1.0
    """
    tilt = np.arctan2(duty_sideways, duty_upright)
    return np.sin(duty_crank_angle + tilt) / np.cos(tilt)


def duty_acceleration(
    stroke_nominal: Value,
    rod_length: Value,
    pin_offset: Value,
    duty_crank_angle: Value,
    duty_turning: Value,
) -> Value:
    r"""Acceleration of the piston at the crank angle of a duty, positive toward the crank.

    .. math:: a = \omega^2 \left(R \cos\theta
        + \frac{R^2 \cos^2\theta - q R \sin\theta}{W} + \frac{(q R \cos\theta)^2}{W^3}\right)

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    rod_length : shape (...), [m]
        Rod length, chosen.
    pin_offset : shape (...), [m]
        Pin or cylinder offset.
    duty_crank_angle : shape (..., duty), [rad]
        Crank angle of it.
    duty_turning : shape (..., duty), [rad/s]
        Speed as an angle.

    Returns
    -------
    duty_acceleration : shape (..., duty), [m/s^2]
        Piston acceleration.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Textbooks on theory of machines (from memory).

    Examples
    --------
    >>> float(duty_acceleration(0.086, 0.143, 0.0008, np.radians(30), 680.6784083))
    20343.18904
    """
    radius = crank_radius(stroke_nominal)
    return acceleration(radius, rod_length, pin_offset, duty_crank_angle, duty_turning)
