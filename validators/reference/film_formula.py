"""The closed form of the oil film, row by row, and the film between two rows."""

import numpy as np

from validators.reference.value import Value, only_where, picked, rounded_nine
from validators.reference.words import FilmState

__not_quantities__ = (
    "finite_sommerfeld",
    "least_gap",
    "length_in_range",
    "range_state",
    "row_of",
    "short_sommerfeld",
    "sommerfeld_number",
)


def sommerfeld_number(
    journal: Value,
    clearance: Value,
    viscosity: Value,
    speed: Value,
    pressure: Value,
    clearance_lowest: Value,
    shown_length: Value,
) -> Value:
    r"""Sommerfeld number of a bearing, with the diametral clearance and turns in a second.

    .. math:: S = \left(\frac{D}{C}\right)^2 \frac{\eta n}{P}, \qquad n = \frac{\omega}{2 \pi}

    Examples
    --------
    >>> float(sommerfeld_number(0.052, 50e-6, 0.009, 200 * np.pi, 20e6, 2e-6, 1e-3))
    0.048672
    """
    clears = rounded_nine((clearance - clearance_lowest) / shown_length) >= 0
    runs = (viscosity > 0) & (speed > 0) & (pressure > 0)
    turns = speed / (2 * np.pi)
    possible = only_where(clears & runs, pressure)
    return (journal / clearance) ** 2 * viscosity * turns / possible


def short_sommerfeld(eccentricity: Value) -> Value:
    r"""Sommerfeld number times the square of length over diameter, in a short bearing.

    .. math:: \frac{(1 - \varepsilon^2)^2}
        {\pi \varepsilon \sqrt{\pi^2 (1 - \varepsilon^2) + 16 \varepsilon^2}}

    Examples
    --------
    >>> float(short_sommerfeld(0.4))
    0.170460783
    """
    closeness = 1 - eccentricity**2
    root = np.sqrt(np.pi**2 * closeness + 16 * eccentricity**2)
    return closeness**2 / (np.pi * eccentricity * root)


def finite_sommerfeld(
    short: Value, eccentricity: Value, length_ratio: Value, fit: tuple[Value, ...]
) -> Value:
    r"""Sommerfeld number of a bearing of finite length.

    .. math:: S = \frac{S_0}{q^2}
        \left(1 + e^{a_0 + a_1 \ln q + a_2 \ln(1 - \varepsilon) + a_3 \varepsilon
        + a_4 \varepsilon^2}\right)

    Examples
    --------
    >>> fit = (-1.238, 1.806, -0.878, 0.138, 0.8)
    >>> float(finite_sommerfeld(short_sommerfeld(0.7), 0.7, 0.4, fit))
    0.2595908614
    """
    level, length, gap, linear, square = fit
    leak = np.exp(
        level
        + length * np.log(length_ratio)
        + gap * np.log(1 - eccentricity)
        + linear * eccentricity
        + square * eccentricity**2
    )
    return short / length_ratio**2 * (1 + leak)


def length_in_range(length_ratio: Value, lowest: Value, highest: Value) -> Value:
    """Keep a length over diameter that the closed form was fitted to, compared at nine decimals.

    Examples
    --------
    >>> [float(length_in_range(ratio, 0.2, 1.0)) for ratio in (0.2, 1.01)]
    [0.2, nan]
    """
    fits = (rounded_nine(length_ratio - lowest) >= 0) & (rounded_nine(length_ratio - highest) <= 0)
    return only_where(fits, length_ratio)


def row_of(number: Value, rows: Value) -> Value:
    """Count the rows, along the last axis, that do not lie above a Sommerfeld number.

    Examples
    --------
    >>> [float(row_of(np.array([s]), np.array([0.02, 0.05]))) for s in (0.01, 0.02, 0.06)]
    [0.0, 1.0, 2.0]
    """
    there = ~np.isnan(number[..., 0]) & ~np.any(np.isnan(rows), axis=-1)
    return only_where(there, np.sum(rows <= number, axis=-1))


def least_gap(number: Value, rows: Value, eccentricity: Value) -> Value:
    r"""Least film over the radial clearance, between two rows of the closed form.

    .. math:: (1 - \varepsilon_j) \left(\frac{1 - \varepsilon_{j+1}}{1 - \varepsilon_j}
        \right)^{\ln(S / S_j) / \ln(S_{j+1} / S_j)}

    Parameters
    ----------
    number : shape (..., 1), [1]
        Sommerfeld number.
    rows : shape (..., node), [1]
        Sommerfeld numbers of the rows, rising.
    eccentricity : shape (..., node), [1]
        Eccentricities of the rows, falling.

    Returns
    -------
    least_gap : shape (...), [1]
        nan outside the rows.

    Examples
    --------
    >>> rows, eccentricity = np.array([0.04, 0.16]), np.array([0.96, 0.84])
    >>> float(least_gap(np.array([0.08]), rows, eccentricity))
    0.08
    """
    below, above = rows[..., :-1], rows[..., 1:]
    gap_below, gap_above = 1 - eccentricity[..., :-1], 1 - eccentricity[..., 1:]
    between = (below <= number) & (number < above)
    share = np.log(number / below) / np.log(above / below)
    return picked(between, gap_below * (gap_above / gap_below) ** share)


def range_state(
    clearance: Value,
    clearance_lowest: Value,
    number: Value,
    length_ratio: Value,
    rows: Value,
    shown_length: Value,
) -> Value:
    """Say whether the closed form holds, and if not, why.

    Parameters
    ----------
    clearance : shape (..., 1), [m]
        Clearance, hot.
    clearance_lowest : shape (..., 1), [m]
        Hot clearance, least that a film is reckoned for.
    number : shape (..., 1), [1]
        Sommerfeld number.
    length_ratio : shape (..., 1), [1]
        Length over diameter.
    rows : shape (..., node), [1]
        Sommerfeld numbers of the rows; nan where the length is outside the form.
    shown_length : shape (..., 1), [m]
        SI size of the unit of length that the workbook shows.

    Returns
    -------
    range_state : shape (...), [1]
    """
    tight = rounded_nine((clearance - clearance_lowest) / shown_length) < 0
    first, last = rows[..., :1], rows[..., -1:]
    state = np.select(
        [
            np.isnan(clearance),
            tight,
            np.isnan(number) | np.isnan(length_ratio),
            np.isnan(first),
            number < first,
            number >= last,
        ],
        [
            FilmState.WAITING,
            FilmState.NO_CLEARANCE,
            FilmState.WAITING,
            FilmState.OUTSIDE_LENGTH,
            FilmState.OUTSIDE_HEAVY,
            FilmState.OUTSIDE_LIGHT,
        ],
        FilmState.IN_RANGE,
    )
    return state[..., 0]
