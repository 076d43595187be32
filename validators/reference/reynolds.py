r"""The Reynolds equation of a journal bearing of finite length, solved by finite differences.

It is held against the closed form that sheets can compute, and takes nothing from it. With the film
:math:`h = 1 + \varepsilon \cos\theta` over the radial clearance and :math:`\zeta` from the middle
of the bearing to its end, the pressure in units of :math:`\eta \omega (D / C)^2` satisfies

.. math:: \partial_\theta (h^3 \partial_\theta p) + (D / L)^2 h^3 \partial_\zeta^2 p
    = 6 \partial_\theta h

where there is oil. The film begins at the widest gap; where it would be drawn apart it tears, so
that :math:`p \ge 0` everywhere and the pressure ends without a kink (the Reynolds condition). That is
a complementarity problem: in every cell either the equation holds, or the pressure is nought and
the equation would draw it below. It is solved by projection: cells with pressure and cells without
are told apart, the equation is solved for the former, and what comes out tells them apart anew,
until nothing changes.
"""

from typing import NamedTuple

import numpy as np

__not_quantities__ = ("coarse_bearing", "solved_bearing")


class SolvedBearing(NamedTuple):
    """What the solution says of a bearing, one element for each eccentricity."""

    sommerfeld: np.ndarray
    attitude: np.ndarray
    """Angle from the load to the least film, in radians."""


class _Grid(NamedTuple):
    """Coefficients of the difference equation, scaled so that its diagonal is 1."""

    before: np.ndarray
    after: np.ndarray
    beside: np.ndarray
    source: np.ndarray
    around: int
    half: int


def _grid(eccentricity: np.ndarray, length_ratio: float, around: int, half: int) -> _Grid:
    """Set up central differences on `around` cells round the bearing and `half` along half of it."""
    step, width = 2 * np.pi / around, 1 / half
    places = np.arange(1, around) * step
    film = 1 + eccentricity[:, np.newaxis] * np.cos(places)
    film_before = 1 + eccentricity[:, np.newaxis] * np.cos(places - step / 2)
    film_after = 1 + eccentricity[:, np.newaxis] * np.cos(places + step / 2)
    before, after = film_before**3 / step**2, film_after**3 / step**2
    beside = film**3 / (length_ratio * width) ** 2
    diagonal = before + after + 2 * beside
    source = -6 * (film_after - film_before) / step
    return _Grid(
        before / diagonal, after / diagonal, beside / diagonal, source / diagonal, around, half
    )


def _along(half: int) -> np.ndarray:
    """Couple the cells along the bearing: alike on both sides of its middle, nought at its end."""
    coupling = np.eye(half, k=1) + np.eye(half, k=-1)
    coupling[0, 1] = 2.0
    return coupling


def _pressure(grid: _Grid, wet: np.ndarray) -> np.ndarray:
    """Solve the equation in the wet cells; elsewhere the pressure is nought.

    The cells of one angle make a block, and the blocks hang together like a chain: elimination
    runs down the chain and back.
    """
    count, places, half = wet.shape
    along, unit = _along(half), np.eye(half)
    chain = np.empty((places, count, half, half))
    carried = np.empty((places, count, half))
    passed = np.zeros((count, half, half))
    told = np.zeros((count, half))
    for place in range(places):
        rows = wet[:, place, :, np.newaxis].astype(float)
        before = grid.before[:, place, np.newaxis, np.newaxis] * rows
        block = unit - rows * (grid.beside[:, place, np.newaxis, np.newaxis] * along)
        inverse = np.linalg.inv(block - before * passed)
        given = rows[..., 0] * grid.source[:, place, np.newaxis] + before[..., 0] * told
        passed = inverse * (grid.after[:, place, np.newaxis, np.newaxis] * rows[..., 0][:, np.newaxis])
        told = np.einsum("kij,kj->ki", inverse, given)
        chain[place], carried[place] = passed, told
    pressure = np.zeros((places, count, half))
    pressure[-1] = carried[-1]
    for place in range(places - 2, -1, -1):
        following = pressure[place + 1]
        pressure[place] = carried[place] + np.einsum("kij,kj->ki", chain[place], following)
    return np.moveaxis(pressure, 0, 1)


def _missing(grid: _Grid, pressure: np.ndarray) -> np.ndarray:
    """Say by how much the equation fails in every cell: positive where it would draw below nought."""
    padded = np.pad(pressure, ((0, 0), (1, 1), (0, 0)))
    across = pressure @ _along(grid.half).T
    return (
        pressure
        - grid.before[..., np.newaxis] * padded[:, :-2]
        - grid.after[..., np.newaxis] * padded[:, 2:]
        - grid.beside[..., np.newaxis] * across
        - grid.source[..., np.newaxis]
    )


def coarse_bearing(
    eccentricity: np.ndarray, length_ratio: float, around: int, half: int
) -> SolvedBearing:
    """Solve the bearing on one grid.

    Parameters
    ----------
    eccentricity : shape (k), [1]
        Eccentricities, between 0 and 1.
    length_ratio : float
        Length over diameter.
    around, half : int
        Cells round the bearing, and from its middle to its end.

    Returns
    -------
    solved : SolvedBearing
    """
    grid = _grid(eccentricity, length_ratio, around, half)
    wet = np.ones((len(eccentricity), around - 1, half), dtype=bool)
    wet[:, around // 2 :] = False
    # From round to round the wet cells grow outward, by a cell at least: they settle.
    for _ in range(2 * around):
        pressure = _pressure(grid, wet)
        kept = wet
        wet = pressure >= _missing(grid, pressure)
        if np.array_equal(wet, kept):
            break
    else:
        raise ArithmeticError("the edge of the film has not settled")
    places = np.arange(1, around) * (2 * np.pi / around)
    weights = np.full(half, 1 / half)
    weights[0] /= 2
    band = pressure @ weights * (2 * np.pi / around)
    against, square = -band @ np.cos(places), band @ np.sin(places)
    return SolvedBearing(1 / (np.pi * np.hypot(against, square)), np.arctan2(square, against))


def solved_bearing(
    eccentricity: np.ndarray, length_ratio: float, around: int = 120, half: int = 12
) -> SolvedBearing:
    """Solve the bearing on two grids, one twice as fine, and go on to where they tend.

    The error of central differences falls with the square of the cell, so a third of the difference
    of the two results lies beyond the finer one.

    Parameters
    ----------
    eccentricity : shape (k), [1]
        Eccentricities, between 0 and 1.
    length_ratio : float
        Length over diameter.
    around, half : int
        Cells of the coarser grid.

    Returns
    -------
    solved : SolvedBearing

    Examples
    --------
    >>> found = solved_bearing(np.array([0.6]), 0.5, 60, 6)
    >>> round(float(found.sommerfeld[0]), 3), round(float(np.degrees(found.attitude[0])), 1)
    (0.319, 48.0)
    """
    coarse = coarse_bearing(eccentricity, length_ratio, around, half)
    fine = coarse_bearing(eccentricity, length_ratio, 2 * around, 2 * half)
    # The load, not its inverse, is what the differences approach evenly.
    load = (4 / fine.sommerfeld - 1 / coarse.sommerfeld) / 3
    return SolvedBearing(1 / load, (4 * fine.attitude - coarse.attitude) / 3)
