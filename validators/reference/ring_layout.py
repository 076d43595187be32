"""Where the gaps of the rings stand: angles between them and from the axes, and the drawing."""

import math

import numpy as np

from validators.reference.value import Value
from validators.reference.words import CrankTurn

__not_quantities__ = ("angle_apart", "angle_off_axis")


def angle_apart(one: Value, other: Value) -> Value:
    r"""Angle between two directions, at most half a turn.

    .. math:: |\mathrm{atan2}(\sin(a - b), \cos(a - b))|

    Parameters
    ----------
    one, other : shapes that broadcast, [rad]

    Returns
    -------
    angle_apart : the broadcast shape, [rad]

    Examples
    --------
    >>> math.degrees(angle_apart(math.radians(10), math.radians(350)))
    20.0
    """
    between = one - other
    return np.abs(np.arctan2(np.sin(between), np.cos(between)))


def angle_off_axis(direction: Value, axis: float) -> Value:
    r"""Angle of a direction from an axis, at most a quarter turn.

    .. math:: |\mathrm{atan2}(\sin 2(a - x), \cos 2(a - x))| / 2

    Parameters
    ----------
    direction : any shape, [rad]
    axis : float, [rad]

    Returns
    -------
    angle_off_axis : the same shape, [rad]

    Examples
    --------
    >>> math.degrees(angle_off_axis(math.radians(350), 0.0))
    10.0
    >>> math.degrees(angle_off_axis(math.radians(95), math.pi / 2))
    5.0
    """
    twice = 2 * (direction - axis)  # doubled, both ends of an axis are one direction
    return np.abs(np.arctan2(np.sin(twice), np.cos(twice))) / 2


def ring_gap_apart(
    ring_gap_angle_top: Value,
    ring_gap_angle_second: Value,
    ring_gap_angle_high: Value,
    ring_gap_angle_deep: Value,
) -> Value:
    r"""Angle between the gaps of neighbouring rings, from the top ring downward.

    .. math:: |\mathrm{atan2}(\sin(a - b), \cos(a - b))|

    Parameters
    ----------
    ring_gap_angle_top : shape (...), [rad]
    ring_gap_angle_second : shape (...), [rad]
    ring_gap_angle_high : shape (...), [rad]
        Upper oil rail.
    ring_gap_angle_deep : shape (...), [rad]
        Lower oil rail.

    Returns
    -------
    ring_gap_apart : shape (..., gappair), [rad]

    Notes
    -----
    nan where one of the two is missing.

    Source
    ------
    Plane geometry.

    Examples
    --------
    >>> gaps = [np.radians([angle]) for angle in (45.0, 225.0, 350.0, 110.0)]
    >>> np.degrees(ring_gap_apart(*gaps)).round(9).tolist()
    [180.0, 125.0, 120.0]
    """
    return np.concatenate(
        [
            angle_apart(ring_gap_angle_top, ring_gap_angle_second),
            angle_apart(ring_gap_angle_second, ring_gap_angle_high),
            angle_apart(ring_gap_angle_high, ring_gap_angle_deep),
        ],
        axis=-1,
    )


def rail_joint_apart(
    ring_gap_angle_high: Value, ring_gap_angle_joint: Value, ring_gap_angle_deep: Value
) -> Value:
    r"""Angle of each oil rail's gap from the joint of the expander.

    .. math:: |\mathrm{atan2}(\sin(a - b), \cos(a - b))|

    Parameters
    ----------
    ring_gap_angle_high : shape (...), [rad]
        Upper oil rail.
    ring_gap_angle_joint : shape (...), [rad]
        Expander.
    ring_gap_angle_deep : shape (...), [rad]
        Lower oil rail.

    Returns
    -------
    rail_joint_apart : shape (..., jointpair), [rad]

    Notes
    -----
    nan where one of the two is missing.

    Source
    ------
    Plane geometry.

    Examples
    --------
    >>> gaps = [np.radians([angle]) for angle in (350.0, 50.0, 110.0)]
    >>> np.degrees(rail_joint_apart(*gaps)).round(9).tolist()
    [60.0, 60.0]
    """
    return np.concatenate(
        [
            angle_apart(ring_gap_angle_high, ring_gap_angle_joint),
            angle_apart(ring_gap_angle_deep, ring_gap_angle_joint),
        ],
        axis=-1,
    )


def ring_off_pin(ring_gap_angle_top: Value, ring_gap_angle_second: Value) -> Value:
    r"""Angle of a compression ring's gap from the pin axis, which runs from front to rear.

    .. math:: |\mathrm{atan2}(\sin 2a, \cos 2a)| / 2

    Parameters
    ----------
    ring_gap_angle_top : shape (...), [rad]
    ring_gap_angle_second : shape (...), [rad]

    Returns
    -------
    ring_off_pin : shape (..., ring), [rad]

    Notes
    -----
    nan where the gap is missing.

    Source
    ------
    Plane geometry.

    Examples
    --------
    >>> np.degrees(ring_off_pin(np.radians([350.0]), np.radians([95.0]))).round(9).tolist()
    [10.0, 85.0]
    """
    return np.concatenate(
        [angle_off_axis(ring_gap_angle_top, 0.0), angle_off_axis(ring_gap_angle_second, 0.0)],
        axis=-1,
    )


def ring_off_thrust(ring_gap_angle_top: Value, ring_gap_angle_second: Value) -> Value:
    r"""Angle of a compression ring's gap from the thrust axis, square to the pin axis.

    .. math:: |\mathrm{atan2}(\sin 2(a - x), \cos 2(a - x))| / 2 \qquad x = \pi / 2

    Parameters
    ----------
    ring_gap_angle_top : shape (...), [rad]
    ring_gap_angle_second : shape (...), [rad]

    Returns
    -------
    ring_off_thrust : shape (..., ring), [rad]

    Notes
    -----
    nan where the gap is missing.

    Source
    ------
    Plane geometry.

    Examples
    --------
    >>> np.degrees(ring_off_thrust(np.radians([350.0]), np.radians([95.0]))).round(9).tolist()
    [80.0, 5.0]
    """
    thrust = math.pi / 2
    return np.concatenate(
        [angle_off_axis(ring_gap_angle_top, thrust), angle_off_axis(ring_gap_angle_second, thrust)],
        axis=-1,
    )


def thrust_angle(crank_turn: Value) -> Value:
    r"""Where the major thrust side is, seen from above, clockwise from the front.

    .. math:: \pi / 2 \text{ clockwise, } 3 \pi / 2 \text{ anticlockwise}

    Parameters
    ----------
    crank_turn : shape (...), [1]

    Returns
    -------
    thrust_angle : shape (...), [rad]

    Notes
    -----
    nan where the turn is missing. The major thrust side is opposite to the side toward which the
    crankpin moves as it leaves the top.

    Source
    ------
    Balance of forces on the piston; seen from above, the left of one who looks at the front is at
    a quarter turn.

    Examples
    --------
    >>> math.degrees(thrust_angle(CrankTurn.CLOCKWISE))
    90.0
    """
    return np.select(
        [np.equal(crank_turn, CrankTurn.CLOCKWISE), np.equal(crank_turn, CrankTurn.ANTICLOCKWISE)],
        [math.pi / 2, 3 * math.pi / 2],
        math.nan,
    )


def ring_dot_across(ring_gap_angle: Value, ring_dot_radius: Value, dial_away: Value) -> Value:
    r"""Where a gap is drawn, to the right of the middle.

    .. math:: r \sin a

    Parameters
    ----------
    ring_gap_angle : shape (..., ringgap), [rad]
    ring_dot_radius : shape (..., ringgap), [1]
    dial_away : shape (...), [1]

    Returns
    -------
    ring_dot_across : shape (..., ringgap), [1]
        In radii of the piston.

    Notes
    -----
    Never nan: a gap that is not given is drawn outside the frame.

    Source
    ------
    Plane geometry.

    Examples
    --------
    >>> float(ring_dot_across(math.radians(90), 0.8, 9.0)), float(ring_dot_across(math.nan, 0.8, 9))
    (0.8, 9.0)
    """
    return np.where(np.isnan(ring_gap_angle), dial_away, ring_dot_radius * np.sin(ring_gap_angle))


def ring_dot_along(ring_gap_angle: Value, ring_dot_radius: Value, dial_away: Value) -> Value:
    r"""Where a gap is drawn, toward the front from the middle.

    .. math:: r \cos a

    Parameters
    ----------
    ring_gap_angle : shape (..., ringgap), [rad]
    ring_dot_radius : shape (..., ringgap), [1]
    dial_away : shape (...), [1]

    Returns
    -------
    ring_dot_along : shape (..., ringgap), [1]
        In radii of the piston.

    Notes
    -----
    Never nan: a gap that is not given is drawn outside the frame.

    Source
    ------
    Plane geometry.

    Examples
    --------
    >>> float(ring_dot_along(math.radians(180), 0.8, 9.0))
    -0.8
    """
    return np.where(np.isnan(ring_gap_angle), dial_away, ring_dot_radius * np.cos(ring_gap_angle))


def thrust_dot_across(crank_turn: Value, dial_label: Value, dial_away: Value) -> Value:
    r"""Where the thrust side is drawn: at the right, at the left, or not at all.

    .. math:: r \sin(\pi / 2) \qquad r \sin(3 \pi / 2)

    Parameters
    ----------
    crank_turn : shape (...), [1]
    dial_label : shape (...), [1]
    dial_away : shape (...), [1]

    Returns
    -------
    thrust_dot_across : shape (...), [1]
        In radii of the piston.

    Notes
    -----
    Never nan: outside the frame where the turn is missing.

    Source
    ------
    Plane geometry.

    Examples
    --------
    >>> float(thrust_dot_across(CrankTurn.ANTICLOCKWISE, 1.25, 9.0))
    -1.25
    """
    left = np.where(np.equal(crank_turn, CrankTurn.ANTICLOCKWISE), -dial_label, dial_away)
    return np.where(np.equal(crank_turn, CrankTurn.CLOCKWISE), dial_label, left)
