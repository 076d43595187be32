"""Which pair of shell grades brings each rod bearing nearest the wanted clearance."""

import numpy as np

from validators.reference import bearings
from validators.reference.value import Value, first_match, picked


def rod_option_clearance(
    rod_housing_size_vertical: Value,
    crankpin_greatest: Value,
    rod_grade_wall_used: Value,
    shellpair_upper: Value,
    shellpair_lower: Value,
    shell_steps_apart: Value,
    thicker_half: Value,
) -> Value:
    r"""Clearance of a rod bearing with each pair of grades that is allowed.

    .. math:: H - t_u - t_l - J, \qquad |u - l| \le n

    Parameters
    ----------
    rod_housing_size_vertical : shape (..., cylinder), [m]
        Rod housing at 20 °C, vertical.
    crankpin_greatest : shape (..., crankpin), [m]
        Largest.
    rod_grade_wall_used : shape (..., grade), [m]
        Wall, if named.
    shellpair_upper : shape (..., shellpair), [1]
        Upper grade.
    shellpair_lower : shape (..., shellpair), [1]
        Lower grade.
    shell_steps_apart : shape (...), [1]
        Upper and lower at most this many steps apart.
    thicker_half : shape (...), [1]
        Thicker half sits.

    Returns
    -------
    rod_option_clearance : shape (..., cylinder, shellpair), [m]
        Clearance with the pair.

    Notes
    -----
    nan where a size, a wall or the name of a grade is missing, the pair lies too many steps apart,
    its thicker half is on the wrong side, or either rule is missing.

    Source
    ------
    Geometry of the assembled bearing; rules for odd pairs: common practice, no source.

    Examples
    --------
    >>> pairs = np.array([[1], [1], [2]]), np.array([[1], [2], [1]])
    >>> rules = np.array([[1]]), np.array([[1]])
    >>> sizes = np.array([[64.006]]), np.array([[59.987]])
    >>> rod_option_clearance(*sizes, np.array([1.981, 1.986]), *pairs, *rules).tolist()
    [0.057, nan, 0.052]
    """
    return bearings.clearance_of_pairs(
        rod_housing_size_vertical - crankpin_greatest,
        rod_grade_wall_used,
        shellpair_upper,
        shellpair_lower,
        shell_steps_apart,
        thicker_half,
    )


def rod_option_deviation(rod_option_clearance: Value, rod_clearance_target: Value) -> Value:
    r"""How far the clearance with a pair of grades is from the wanted one.

    .. math:: |C - C^*|

    Parameters
    ----------
    rod_option_clearance : shape (..., cylinder, shellpair), [m]
        Clearance with the pair.
    rod_clearance_target : shape (...), [m]
        Rod bearing clearance wanted.

    Returns
    -------
    rod_option_deviation : shape (..., cylinder, shellpair), [m]
        Away from the wanted.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> float(rod_option_deviation(0.052, 0.050))
    0.002
    """
    return np.abs(rod_option_clearance - rod_clearance_target)


def rod_option_best(
    rod_option_clearance: Value,
    rod_option_deviation: Value,
    rod_option_within: Value,
    shown_length: Value,
) -> Value:
    r"""Clearances of those pairs of grades that come nearest the wanted clearance.

    .. math:: C_{best} = C \text{ where } |C - C^*| = \min |C - C^*|

    over the pairs within the limits; over all pairs where none is within.

    Parameters
    ----------
    rod_option_clearance : shape (..., cylinder, shellpair), [m]
        Clearance with the pair.
    rod_option_deviation : shape (..., cylinder, shellpair), [m]
        Away from the wanted.
    rod_option_within : shape (..., cylinder, shellpair), [m]
        Away from the wanted, if within limits.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    rod_option_best : shape (..., cylinder, shellpair), [m]
        Best pairs, clearance.

    Notes
    -----
    Given, and compared, at nine decimals of the unit that the workbook shows. nan for every other
    pair.

    Source
    ------
    Common practice.

    Examples
    --------
    >>> clearance = np.array([0.057, 0.052, 0.048]) / 1e3
    >>> away = np.abs(clearance - 0.00005)
    >>> best = rod_option_best(clearance, away, away, np.array([0.001]))
    >>> (best * 1e3).tolist()
    [nan, 0.052, 0.048]
    """
    return bearings.best_options(
        rod_option_clearance, rod_option_deviation, rod_option_within, shown_length
    )


def rod_pick_clearance(rod_option_best: Value, rod_option_equal: Value) -> Value:
    r"""Clearance of a rod bearing with the nearest pair: equal halves first, then the bigger.

    .. math:: \max C_{best}

    Parameters
    ----------
    rod_option_best : shape (..., cylinder, shellpair), [m]
        Best pairs, clearance.
    rod_option_equal : shape (..., cylinder, shellpair), [m]
        Best pairs of equal halves, clearance.

    Returns
    -------
    rod_pick_clearance : shape (..., cylinder), [m]
        Clearance with the nearest pair.

    Notes
    -----
    nan where no pair is allowed or nothing is measured. Of pairs equally near, one of equal halves is
    taken before an odd one.

    Source
    ------
    Common practice: too much clearance is the lesser fault.

    Examples
    --------
    >>> best = np.array([np.nan, 0.052, 0.048])
    >>> float(rod_pick_clearance(best, np.full(3, np.nan)))
    0.052
    """
    return bearings.largest_best(rod_option_best, rod_option_equal)


def rod_pick_pair(rod_option_best: Value, rod_pick_clearance: Value) -> Value:
    r"""Pair, counted from 1, that comes nearest: the first that gives the picked clearance.

    .. math:: \min \{i : C_{best,i} = \max C_{best}\}

    Parameters
    ----------
    rod_option_best : shape (..., cylinder, shellpair), [m]
        Best pairs, clearance.
    rod_pick_clearance : shape (..., cylinder), [m]
        Clearance with the nearest pair.

    Returns
    -------
    rod_pick_pair : shape (..., cylinder), [1]
        Nearest pair, number.

    Notes
    -----
    nan where no pair is allowed or nothing is measured. Pairs run with equal halves first, then with
    the thinner upper first.

    Source
    ------
    Common practice.

    Examples
    --------
    >>> float(rod_pick_pair(np.array([np.nan, 0.052, 0.052]), np.array([0.052])))
    2.0
    """
    pair_number = np.arange(rod_option_best.shape[-1]) + 1
    return picked(first_match(rod_pick_clearance, rod_option_best), pair_number)


def rod_pick_upper(rod_pick_pair: Value, shellpair_upper: Value, rod_grade_name: Value) -> Value:
    r"""Name of the upper grade of the nearest pair.

    .. math:: n_{u(i)}

    Parameters
    ----------
    rod_pick_pair : shape (..., cylinder), [1]
        Nearest pair, number.
    shellpair_upper : shape (..., shellpair), [1]
        Upper grade.
    rod_grade_name : shape (..., grade), [1]
        Grade.

    Returns
    -------
    rod_pick_upper : shape (..., cylinder), [1]
        Nearest pair: upper.

    Notes
    -----
    nan where no pair is picked, or its grade has no name.

    Source
    ------
    A look-up, no equation.

    Examples
    --------
    >>> uppers, names = np.array([[1], [1], [2]]), np.array([[11.0, 12.0]])
    >>> float(rod_pick_upper(np.array([[3]]), uppers, names))
    12.0
    """
    return bearings.grade_of_pair(rod_pick_pair, shellpair_upper, rod_grade_name)


def rod_pick_lower(rod_pick_pair: Value, shellpair_lower: Value, rod_grade_name: Value) -> Value:
    r"""Name of the lower grade of the nearest pair.

    .. math:: n_{l(i)}

    Parameters
    ----------
    rod_pick_pair : shape (..., cylinder), [1]
        Nearest pair, number.
    shellpair_lower : shape (..., shellpair), [1]
        Lower grade.
    rod_grade_name : shape (..., grade), [1]
        Grade.

    Returns
    -------
    rod_pick_lower : shape (..., cylinder), [1]
        Nearest pair: lower.

    Notes
    -----
    nan where no pair is picked, or its grade has no name.

    Source
    ------
    A look-up, no equation.

    Examples
    --------
    >>> lowers, names = np.array([[1], [2], [1]]), np.array([[11.0, 12.0]])
    >>> float(rod_pick_lower(np.array([[3]]), lowers, names))
    11.0
    """
    return bearings.grade_of_pair(rod_pick_pair, shellpair_lower, rod_grade_name)


def rod_shell_advice(
    rod_housing_size_vertical: Value,
    crankpin_greatest: Value,
    rod_clearance_target: Value,
    rod_pick_pair: Value,
    rod_pick_upper: Value,
    rod_pick_lower: Value,
    rod_shell_upper: Value,
    rod_shell_lower: Value,
) -> Value:
    """Advice about the shells of a rod bearing.

    Parameters
    ----------
    rod_housing_size_vertical : shape (..., cylinder), [m]
        Rod housing at 20 °C, vertical.
    crankpin_greatest : shape (..., crankpin), [m]
        Largest.
    rod_clearance_target : shape (...), [m]
        Rod bearing clearance wanted.
    rod_pick_pair : shape (..., cylinder), [1]
        Nearest pair, number.
    rod_pick_upper : shape (..., cylinder), [1]
        Nearest pair: upper.
    rod_pick_lower : shape (..., cylinder), [1]
        Nearest pair: lower.
    rod_shell_upper : shape (..., cylinder), [1]
        Upper shell.
    rod_shell_lower : shape (..., cylinder), [1]
        Lower shell.

    Returns
    -------
    rod_shell_advice : shape (..., cylinder), [1]
        Advice.

    Notes
    -----
    Not measured, where housing, journal or target is missing. Keep, where the pair chosen is the
    nearest one; an odd pair is named as such, because both halves must then sit the right way
    round.

    Source
    ------
    Common practice.

    Examples
    --------
    >>> sizes = 64.006, 59.987, 0.050
    >>> int(rod_shell_advice(*sizes, 1, 7.0, 7.0, 7.0, 7.0))
    2
    >>> int(rod_shell_advice(*sizes, 1, 7.0, 7.0, 8.0, 7.0))
    3
    """
    measured = ~(
        np.isnan(rod_housing_size_vertical)
        | np.isnan(crankpin_greatest)
        | np.isnan(rod_clearance_target)
    )
    return bearings.shell_advice(
        measured,
        rod_pick_pair,
        (rod_pick_upper, rod_pick_lower),
        (rod_shell_upper, rod_shell_lower),
    )
