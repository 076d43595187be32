"""Motion of the combinations and the forces that it makes."""

import numpy as np

from validators.reference import slider_crank
from validators.reference.candidates import standing_rod
from validators.reference.value import Value, only_where

_QUARTER_TURN = np.pi / 2


def candidate_peak_acceleration(
    stroke_nominal: Value,
    candidate_rod_length: Value,
    pin_offset: Value,
    engine_angular_speed: Value,
    candidate_top_angle: Value,
    candidate_state: Value,
) -> Value:
    r"""Piston acceleration at true top dead centre, exact.

    .. math:: a = \omega^2 \left(R \cos\theta + \frac{R^2 \cos^2\theta - q R \sin\theta}{W}
        + \frac{(q R \cos\theta)^2}{W^3}\right), \qquad \theta = -\arcsin\frac{e}{L + R}

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    candidate_rod_length : shape (..., candidate), [m]
        Rod length.
    pin_offset : shape (...), [m]
        Pin or cylinder offset.
    engine_angular_speed : shape (...), [rad/s]
        Crank speed as an angle.
    candidate_top_angle : shape (..., candidate), [rad]
        True top dead centre.
    candidate_state : shape (..., candidate), [1]
        State.

    Returns
    -------
    candidate_peak_acceleration : shape (..., candidate), [m/s^2]
        Piston acceleration at true top.

    Notes
    -----
    nan where the combination waits or has a wrong entry.

    Source
    ------
    Second derivative of the exact travel of the slider-crank.

    Examples
    --------
    >>> float(candidate_peak_acceleration(0.086, 0.143, 0.0, 680.6784083, 0.0, 2))
    25913.69313
    """
    rod = standing_rod(candidate_state, candidate_rod_length)
    radius = slider_crank.crank_radius(stroke_nominal)
    return slider_crank.acceleration(
        radius, rod, pin_offset, candidate_top_angle, engine_angular_speed
    )


def candidate_inertia_force(
    candidate_reciprocating_mass: Value, candidate_peak_acceleration: Value
) -> Value:
    r"""Inertia force along the cylinder at true top dead centre, positive toward the crank.

    .. math:: F = -m a

    Parameters
    ----------
    candidate_reciprocating_mass : shape (..., candidate), [kg]
        Reciprocating mass.
    candidate_peak_acceleration : shape (..., candidate), [m/s^2]
        Piston acceleration at true top.

    Returns
    -------
    candidate_inertia_force : shape (..., candidate), [N]
        Inertia force at true top.

    Notes
    -----
    nan where the mass is missing, or the combination waits or has a wrong entry.

    Source
    ------
    Newton's second law; sign by convention.

    Examples
    --------
    >>> candidate_inertia_force(0.520, 25913.69313)
    -13475.12043
    """
    return -candidate_reciprocating_mass * candidate_peak_acceleration


def candidate_quarter_sideways(
    stroke_nominal: Value, candidate_rod_length: Value, pin_offset: Value, candidate_state: Value
) -> Value:
    r"""Distance between crankpin and piston pin, square to the cylinder, at a quarter turn.

    .. math:: q = R \sin\theta + e, \qquad \theta = \pi / 2

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    candidate_rod_length : shape (..., candidate), [m]
        Rod length.
    pin_offset : shape (...), [m]
        Pin or cylinder offset.
    candidate_state : shape (..., candidate), [1]
        State.

    Returns
    -------
    candidate_quarter_sideways : shape (..., candidate), [m]
        Crankpin beside the pin axis, at 90°.

    Notes
    -----
    nan where the combination waits or has a wrong entry.

    Source
    ------
    Plane geometry of the slider-crank.

    Examples
    --------
    >>> float(candidate_quarter_sideways(0.086, 0.143, 0.0008, 2)) * 1e3
    43.8
    """
    rod = standing_rod(candidate_state, candidate_rod_length)
    radius = slider_crank.crank_radius(stroke_nominal)
    sideways = slider_crank.pin_sideways(radius, pin_offset, _QUARTER_TURN)
    return only_where(slider_crank.is_possible(radius, rod, pin_offset), sideways)


def candidate_quarter_upright(
    stroke_nominal: Value, candidate_rod_length: Value, pin_offset: Value, candidate_state: Value
) -> Value:
    r"""Length of the rod along the cylinder axis at a quarter turn.

    .. math:: W = \sqrt{L^2 - q^2}

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    candidate_rod_length : shape (..., candidate), [m]
        Rod length.
    pin_offset : shape (...), [m]
        Pin or cylinder offset.
    candidate_state : shape (..., candidate), [1]
        State.

    Returns
    -------
    candidate_quarter_upright : shape (..., candidate), [m]
        Rod length along the axis, at 90°.

    Notes
    -----
    nan where the combination waits or has a wrong entry.

    Source
    ------
    Plane geometry of the slider-crank.

    Examples
    --------
    >>> float(candidate_quarter_upright(0.086, 0.143, 0.0, 2)) * 1e3
    136.38181697
    """
    rod = standing_rod(candidate_state, candidate_rod_length)
    radius = slider_crank.crank_radius(stroke_nominal)
    return slider_crank.rod_along_axis(radius, rod, pin_offset, _QUARTER_TURN)


def candidate_quarter_travel(
    stroke_nominal: Value, candidate_rod_length: Value, pin_offset: Value, candidate_state: Value
) -> Value:
    r"""Piston travel a quarter turn after the throw lies along the cylinder.

    .. math:: s = \sqrt{(L + R)^2 - e^2} - R \cos\theta - W, \qquad \theta = \pi / 2

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    candidate_rod_length : shape (..., candidate), [m]
        Rod length.
    pin_offset : shape (...), [m]
        Pin or cylinder offset.
    candidate_state : shape (..., candidate), [1]
        State.

    Returns
    -------
    candidate_quarter_travel : shape (..., candidate), [m]
        Piston travel at 90°.

    Notes
    -----
    nan where the combination waits or has a wrong entry.

    Source
    ------
    Plane geometry of the slider-crank.

    Examples
    --------
    >>> float(candidate_quarter_travel(0.086, 0.143, 0.0008, 2))
    0.04987128004
    """
    rod = standing_rod(candidate_state, candidate_rod_length)
    radius = slider_crank.crank_radius(stroke_nominal)
    return slider_crank.travel(radius, rod, pin_offset, _QUARTER_TURN)


def candidate_drop(
    stroke_nominal: Value,
    candidate_rod_length: Value,
    pin_offset: Value,
    candidate_top_angle: Value,
    motion_angle: Value,
    dial_away: Value,
) -> Value:
    r"""How far the piston is below its highest place, some degrees of crank after it.

    .. math:: \frac{\sqrt{(L + R)^2 - e^2} - R \cos\theta - W}{2 R}, \qquad \theta = \theta_{top} + \varphi

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    candidate_rod_length : shape (..., candidate), [m]
        Rod length.
    pin_offset : shape (...), [m]
        Pin or cylinder offset.
    candidate_top_angle : shape (..., candidate), [rad]
        Crank angle of true top dead centre.
    motion_angle : shape (..., motion), [rad]
        Crank angle after it.
    dial_away : shape (...), [1]
        How far outside the frame of the chart that stands which is not known.

    Returns
    -------
    candidate_drop : shape (..., candidate, motion), [1]
        Piston below its highest place, as a share of the stroke.

    Notes
    -----
    Outside the frame where the combination waits or has a wrong entry.

    Source
    ------
    Plane geometry of the slider-crank.

    Examples
    --------
    >>> float(candidate_drop(0.086, 0.143, 0.0, 0.0, np.radians(32), 9.0))
    0.09722185958
    >>> float(candidate_drop(0.086, 0.143, 0.0, np.nan, 0.0, 9.0))
    -9.0
    """
    radius = slider_crank.crank_radius(stroke_nominal)
    angle = candidate_top_angle + motion_angle
    drop = slider_crank.travel(radius, candidate_rod_length, pin_offset, angle) / stroke_nominal
    return np.where(np.isnan(drop), -dial_away, drop)


def candidate_ahead(
    candidate_drop: Value,
    candidate_drop_a: Value,
    candidate_top_angle: Value,
    candidate_top_angle_a: Value,
    dial_away: Value,
) -> Value:
    r"""How much further down the piston of a combination is than that of the first, at one crank angle.

    .. math:: s_c - s_A

    Parameters
    ----------
    candidate_drop : shape (..., candidate, motion), [1]
        Piston below its highest place, as a share of the stroke.
    candidate_drop_a : shape (..., motion), [1]
        That of the first combination.
    candidate_top_angle : shape (..., candidate), [rad]
        Crank angle of true top dead centre; missing where a combination is not known.
    candidate_top_angle_a : shape (...), [rad]
        That of the first combination.
    dial_away : shape (...), [1]
        How far outside the frame of the chart that stands which is not known.

    Returns
    -------
    candidate_ahead : shape (..., candidate, motion), [1]

    Notes
    -----
    Outside the frame where this combination or the first waits or has a wrong entry.

    Source
    ------
    Difference of two figures.

    Examples
    --------
    >>> round(float(candidate_ahead(0.0975, 0.0968, 0.0, 0.0, 9.0)), 6)
    0.0007
    """
    unknown = np.isnan(candidate_top_angle) | np.isnan(candidate_top_angle_a)
    return np.where(unknown, -dial_away, candidate_drop - candidate_drop_a)


def candidate_quarter_velocity(
    stroke_nominal: Value,
    candidate_rod_length: Value,
    pin_offset: Value,
    engine_angular_speed: Value,
    candidate_state: Value,
) -> Value:
    r"""Piston velocity a quarter turn after the throw lies along the cylinder.

    .. math:: v = \omega \left(R \sin\theta + \frac{q R \cos\theta}{W}\right),
        \qquad \theta = \pi / 2

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    candidate_rod_length : shape (..., candidate), [m]
        Rod length.
    pin_offset : shape (...), [m]
        Pin or cylinder offset.
    engine_angular_speed : shape (...), [rad/s]
        Crank speed as an angle.
    candidate_state : shape (..., candidate), [1]
        State.

    Returns
    -------
    candidate_quarter_velocity : shape (..., candidate), [m/s]
        Piston velocity at 90°.

    Notes
    -----
    nan where the combination waits or has a wrong entry.

    Source
    ------
    First derivative of the exact travel of the slider-crank.

    Examples
    --------
    >>> float(candidate_quarter_velocity(0.086, 0.143, 0.0008, 680.6784083, 2))
    29.26917156
    """
    rod = standing_rod(candidate_state, candidate_rod_length)
    radius = slider_crank.crank_radius(stroke_nominal)
    return slider_crank.velocity(radius, rod, pin_offset, _QUARTER_TURN, engine_angular_speed)


def candidate_quarter_acceleration(
    stroke_nominal: Value,
    candidate_rod_length: Value,
    pin_offset: Value,
    engine_angular_speed: Value,
    candidate_state: Value,
) -> Value:
    r"""Piston acceleration a quarter turn after the throw lies along the cylinder.

    .. math:: a = \omega^2 \left(R \cos\theta + \frac{R^2 \cos^2\theta - q R \sin\theta}{W}
        + \frac{(q R \cos\theta)^2}{W^3}\right), \qquad \theta = \pi / 2

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    candidate_rod_length : shape (..., candidate), [m]
        Rod length.
    pin_offset : shape (...), [m]
        Pin or cylinder offset.
    engine_angular_speed : shape (...), [rad/s]
        Crank speed as an angle.
    candidate_state : shape (..., candidate), [1]
        State.

    Returns
    -------
    candidate_quarter_acceleration : shape (..., candidate), [m/s^2]
        Piston acceleration at 90°.

    Notes
    -----
    nan where the combination waits or has a wrong entry.

    Source
    ------
    Second derivative of the exact travel of the slider-crank.

    Examples
    --------
    >>> float(candidate_quarter_acceleration(0.086, 0.143, 0.0008, 680.6784083, 2))
    -6410.357395
    """
    rod = standing_rod(candidate_state, candidate_rod_length)
    radius = slider_crank.crank_radius(stroke_nominal)
    return slider_crank.acceleration(radius, rod, pin_offset, _QUARTER_TURN, engine_angular_speed)


def candidate_side_force(
    side_gas_pressure: Value,
    nominal_size_bore: Value,
    candidate_reciprocating_mass: Value,
    candidate_quarter_acceleration: Value,
    candidate_quarter_sideways: Value,
    candidate_quarter_upright: Value,
) -> Value:
    r"""Force of the piston on the cylinder wall at a quarter turn.

    .. math:: F_N = \left(p_g \frac{\pi}{4} B^2 - m a\right) \frac{q}{W},
        \qquad \theta = \pi / 2

    Parameters
    ----------
    side_gas_pressure : shape (...), [Pa]
        Gas pressure for the side force at 90°.
    nominal_size_bore : shape (...), [m]
        Nominal size, bore.
    candidate_reciprocating_mass : shape (..., candidate), [kg]
        Reciprocating mass.
    candidate_quarter_acceleration : shape (..., candidate), [m/s^2]
        Piston acceleration at 90°.
    candidate_quarter_sideways : shape (..., candidate), [m]
        Crankpin beside the pin axis, at 90°.
    candidate_quarter_upright : shape (..., candidate), [m]
        Rod length along the axis, at 90°.

    Returns
    -------
    candidate_side_force : shape (..., candidate), [N]
        Side force at 90°.

    Notes
    -----
    Positive where it presses on the major thrust side. nan where pressure, bore or mass is missing,
    or the combination waits or has a wrong entry.

    Source
    ------
    Balance of forces at the piston pin; textbooks on engine dynamics (from memory).

    Examples
    --------
    >>> gas, motion, rod = (2.0e6, 0.086), (0.520, -6281.514813), (0.043, 0.13638181697)
    >>> candidate_side_force(*gas, *motion, *rod)
    4692.79483
    """
    gas_force = side_gas_pressure * np.pi / 4 * nominal_size_bore**2
    inertia_force = -candidate_reciprocating_mass * candidate_quarter_acceleration
    tangent = candidate_quarter_sideways / candidate_quarter_upright
    return (gas_force + inertia_force) * tangent
