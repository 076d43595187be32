r"""Plane geometry of crank, rod and piston, with the pin or the cylinder set off to one side.

The crank throw has radius *R*, the rod length *L*; the offset *e* is positive toward the major
thrust side. The crank angle counts from where the throw lies along the cylinder axis toward the
head, the piston travel from true top dead centre toward the crank. With
:math:`q = R \sin\theta + e` and :math:`W = \sqrt{L^2 - q^2}` every form below is exact.

Source: plane geometry; textbooks on theory of machines give the same forms (from memory).
"""

import numpy as np

from validators.reference.value import Value, only_where

__not_quantities__ = (
    "acceleration",
    "bottom_angle",
    "bottom_dwell_cosine",
    "bottom_height",
    "crank_radius",
    "is_possible",
    "largest_rod_angle",
    "pin_sideways",
    "rod_along_axis",
    "rod_tilt",
    "top_angle",
    "top_dwell_cosine",
    "top_height",
    "travel",
    "velocity",
)


def crank_radius(stroke: Value) -> Value:
    """Half the stroke.

    Examples
    --------
    >>> crank_radius(0.086)
    0.043
    """
    return stroke / 2


def is_possible(radius: Value, rod: Value, offset: Value) -> Value:
    """Whether the crank can turn right round: the rod is longer than radius and offset together.

    Examples
    --------
    >>> bool(is_possible(0.043, 0.143, 0.0008))
    True
    >>> bool(is_possible(0.043, 0.0435, 0.0008))
    False
    """
    return rod > radius + np.abs(offset)


def top_height(radius: Value, rod: Value, offset: Value) -> Value:
    r"""Height of the pin over the crank centre at true top dead centre.

    .. math:: \sqrt{(L + R)^2 - e^2}

    Notes
    -----
    nan where the crank cannot turn right round; so in every function here.

    Examples
    --------
    >>> float(top_height(0.0405, 0.136, 0.0008))
    0.176498187
    """
    reach = only_where(is_possible(radius, rod, offset), rod + radius)
    return np.sqrt(reach**2 - offset**2)


def bottom_height(radius: Value, rod: Value, offset: Value) -> Value:
    r"""Height of the pin over the crank centre at true bottom dead centre.

    .. math:: \sqrt{(L - R)^2 - e^2}

    Examples
    --------
    >>> float(bottom_height(0.0405, 0.136, 0.0008))
    0.09549664916
    """
    reach = only_where(is_possible(radius, rod, offset), rod - radius)
    return np.sqrt(reach**2 - offset**2)


def top_angle(radius: Value, rod: Value, offset: Value) -> Value:
    r"""Crank angle of true top dead centre.

    .. math:: -\arcsin\frac{e}{L + R}

    Examples
    --------
    >>> float(np.degrees(top_angle(0.043, 0.143, 0.0008)))
    -0.2464342201
    """
    reach = only_where(is_possible(radius, rod, offset), rod + radius)
    return -np.arcsin(offset / reach)


def bottom_angle(radius: Value, rod: Value, offset: Value) -> Value:
    r"""Crank angle of true bottom dead centre.

    .. math:: \pi - \arcsin\frac{e}{L - R}

    Examples
    --------
    >>> float(np.degrees(bottom_angle(0.043, 0.143, 0.0008)))
    179.5416289
    """
    reach = only_where(is_possible(radius, rod, offset), rod - radius)
    return np.pi - np.arcsin(offset / reach)


def pin_sideways(radius: Value, offset: Value, angle: Value) -> Value:
    r"""Distance between crankpin and piston pin, square to the cylinder axis.

    .. math:: q = R \sin\theta + e

    Examples
    --------
    >>> float(pin_sideways(0.043, 0.0008, np.pi / 2))
    0.0438
    """
    return radius * np.sin(angle) + offset


def rod_along_axis(radius: Value, rod: Value, offset: Value, angle: Value) -> Value:
    r"""Length of the rod as seen along the cylinder axis.

    .. math:: W = \sqrt{L^2 - q^2}

    Examples
    --------
    >>> float(rod_along_axis(0.043, 0.143, 0.0, np.pi / 2))
    0.13638181697
    """
    possible_rod = only_where(is_possible(radius, rod, offset), rod)
    return np.sqrt(possible_rod**2 - pin_sideways(radius, offset, angle) ** 2)


def rod_tilt(radius: Value, rod: Value, offset: Value, angle: Value) -> Value:
    r"""Angle between rod and cylinder axis.

    .. math:: \beta = \arcsin\frac{q}{L}

    Examples
    --------
    >>> float(np.degrees(rod_tilt(0.043, 0.143, 0.0008, np.pi / 2)))
    17.83601331
    """
    possible_rod = only_where(is_possible(radius, rod, offset), rod)
    return np.arcsin(pin_sideways(radius, offset, angle) / possible_rod)


def largest_rod_angle(radius: Value, rod: Value, offset: Value) -> Value:
    r"""Largest angle between rod and cylinder axis over a turn.

    .. math:: \beta_{max} = \arcsin\frac{R + |e|}{L}

    Examples
    --------
    >>> float(np.degrees(largest_rod_angle(0.0405, 0.136, 0.0008)))
    17.67855492
    """
    possible_rod = only_where(is_possible(radius, rod, offset), rod)
    return np.arcsin((radius + np.abs(offset)) / possible_rod)


def travel(radius: Value, rod: Value, offset: Value, angle: Value) -> Value:
    r"""Piston travel from true top dead centre.

    .. math:: s = \sqrt{(L + R)^2 - e^2} - R \cos\theta - W

    Examples
    --------
    >>> float(travel(0.043, 0.143, 0.0008, np.radians(30)))
    0.007508665076
    """
    return (
        top_height(radius, rod, offset)
        - radius * np.cos(angle)
        - rod_along_axis(radius, rod, offset, angle)
    )


def velocity(radius: Value, rod: Value, offset: Value, angle: Value, speed: Value) -> Value:
    r"""Piston velocity, positive toward the crank.

    .. math:: v = \omega \left(R \sin\theta + \frac{q R \cos\theta}{W}\right)

    Examples
    --------
    >>> float(velocity(0.043, 0.143, 0.0008, np.radians(30), 680.6784083))
    18.63639023
    """
    q = pin_sideways(radius, offset, angle)
    w = rod_along_axis(radius, rod, offset, angle)
    return speed * (radius * np.sin(angle) + q * radius * np.cos(angle) / w)


def acceleration(radius: Value, rod: Value, offset: Value, angle: Value, speed: Value) -> Value:
    r"""Piston acceleration, positive toward the crank.

    .. math:: a = \omega^2 \left(R \cos\theta + \frac{R^2 \cos^2\theta - q R \sin\theta}{W}
        + \frac{(q R \cos\theta)^2}{W^3}\right)

    Examples
    --------
    >>> float(acceleration(0.043, 0.143, 0.0008, np.radians(30), 680.6784083))
    20343.18904
    """
    q = pin_sideways(radius, offset, angle)
    w = rod_along_axis(radius, rod, offset, angle)
    cosine, sine = np.cos(angle), np.sin(angle)
    return speed**2 * (
        radius * cosine
        + (radius**2 * cosine**2 - q * radius * sine) / w
        + (q * radius * cosine) ** 2 / w**3
    )


def _cosine_toward_pin(radius: Value, rod: Value, offset: Value, height: Value) -> Value:
    r"""Cosine of the angle at the crank centre between the throw and the line to the pin.

    The cosine rule in the triangle of crank centre, crankpin and piston pin, the pin standing at a
    height *p*:

    .. math:: \frac{R^2 + p^2 + e^2 - L^2}{2 R \sqrt{p^2 + e^2}}
    """
    return (radius**2 + height**2 + offset**2 - rod**2) / (
        2 * radius * np.sqrt(height**2 + offset**2)
    )


def top_dwell_cosine(radius: Value, rod: Value, offset: Value, distance: Value) -> Value:
    r"""Cosine of half the crank angle spent within a distance of true top dead centre.

    .. math:: \frac{R^2 + p^2 + e^2 - L^2}{2 R \sqrt{p^2 + e^2}},
        \qquad p = \sqrt{(L + R)^2 - e^2} - x

    Notes
    -----
    Exact for any offset: both crossings lie symmetrically about the line from the crank centre to
    the pin. nan where the distance is not above 0 and below the stroke.

    Examples
    --------
    >>> float(np.degrees(2 * np.arccos(top_dwell_cosine(0.043, 0.143, 0.0008, 0.001))))
    21.72217854
    """
    x = only_where((distance > 0) & (distance < 2 * radius), distance)
    return _cosine_toward_pin(radius, rod, offset, top_height(radius, rod, offset) - x)


def bottom_dwell_cosine(radius: Value, rod: Value, offset: Value, distance: Value) -> Value:
    r"""Cosine of the crank angle at which the piston comes within a distance of true bottom.

    .. math:: \frac{R^2 + p^2 + e^2 - L^2}{2 R \sqrt{p^2 + e^2}},
        \qquad p = \sqrt{(L - R)^2 - e^2} + x

    Notes
    -----
    Counted from the line from the crank centre to the pin. nan where the distance is not above 0
    and below the stroke.

    Examples
    --------
    >>> begin = np.arccos(bottom_dwell_cosine(0.043, 0.143, 0.0008, 0.001))
    >>> float(np.degrees(2 * np.pi - 2 * begin))
    29.53894066
    """
    x = only_where((distance > 0) & (distance < 2 * radius), distance)
    return _cosine_toward_pin(radius, rod, offset, bottom_height(radius, rod, offset) + x)
