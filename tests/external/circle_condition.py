"""The motion of a piston from one fact: crankpin and piston pin stay a rod length apart.

Lengths in any one unit; the cylinder axis stands `offset` aside of the crank centre.
"""

import math

import numpy as np
from scipy.optimize import brentq, minimize_scalar


def pin_height(angle, radius, rod, offset):
    """Height of the piston pin over the crank centre, by scipy's bracketed root."""
    sideways, upright = radius * math.sin(angle), radius * math.cos(angle)

    def apart(height):
        return math.hypot(sideways + offset, height - upright) - rod

    return brentq(apart, upright, upright + 1.1 * rod, xtol=1e-15 * rod, rtol=1e-15)


def pin_height_at_complex_angle(angle, radius, rod, offset):
    """Upper root of the circle condition, a quadratic in the height; the angle may be complex."""
    sideways, upright = radius * np.sin(angle) + offset, radius * np.cos(angle)
    roots = np.roots([1, -2 * upright, upright**2 + sideways**2 - rod**2])
    return roots[np.argmax(roots.real)]


def pin_derivatives(angle, radius, rod, offset):
    """First and second derivative of the pin height, by Cauchy's integral over a small circle."""
    reach, points = 0.2, 64
    turn = np.exp(2j * np.pi * np.arange(points) / points)
    heights = [pin_height_at_complex_angle(angle + reach * t, radius, rod, offset) for t in turn]
    first = np.mean(heights / turn) / reach
    second = 2 * np.mean(heights / turn**2) / reach**2
    return first.real, second.real


def extremes(radius, rod, offset):
    """Crank angles of the highest and the lowest pin, by scipy's minimiser."""

    def down(angle):
        return -pin_height(angle, radius, rod, offset)

    def up(angle):
        return pin_height(angle, radius, rod, offset)

    top = minimize_scalar(down, bounds=(-0.5, 0.5), method="bounded", options={"xatol": 1e-10})
    bottom = minimize_scalar(
        up, bounds=(math.pi - 1, math.pi + 1), method="bounded", options={"xatol": 1e-10}
    )
    return top.x, bottom.x
