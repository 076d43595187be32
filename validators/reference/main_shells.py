"""Which pair of shell grades brings each main bearing nearest the wanted clearance."""

import numpy as np

from validators.reference import bearings
from validators.reference.value import Value, first_match, picked


def main_option_clearance(
    main_housing_size_vertical: Value,
    main_journal_greatest: Value,
    main_grade_wall_used: Value,
    shellpair_upper: Value,
    shellpair_lower: Value,
    shell_steps_apart: Value,
    thicker_half: Value,
) -> Value:
    r"""Clearance of a main bearing with each pair of grades that is allowed.

    .. math:: H - t_u - t_l - J, \qquad |u - l| \le n

    Parameters
    ----------
    main_housing_size_vertical : shape (..., main), [m]
        Main housing at 20 °C, vertical.
    main_journal_greatest : shape (..., main), [m]
        Largest.
    main_grade_wall_used : shape (..., grade), [m]
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
    main_option_clearance : shape (..., main, shellpair), [m]
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
    >>> main_option_clearance(*sizes, np.array([1.981, 1.986]), *pairs, *rules).tolist()
    [0.057, nan, 0.052]
    """
    return bearings.clearance_of_pairs(
        main_housing_size_vertical - main_journal_greatest,
        main_grade_wall_used,
        shellpair_upper,
        shellpair_lower,
        shell_steps_apart,
        thicker_half,
    )


def main_option_deviation(main_option_clearance: Value, main_clearance_target: Value) -> Value:
    r"""How far the clearance with a pair of grades is from the wanted one.

    .. math:: |C - C^*|

    Parameters
    ----------
    main_option_clearance : shape (..., main, shellpair), [m]
        Clearance with the pair.
    main_clearance_target : shape (...), [m]
        Main bearing clearance wanted.

    Returns
    -------
    main_option_deviation : shape (..., main, shellpair), [m]
        Away from the wanted.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> float(main_option_deviation(0.052, 0.050))
    0.002
    """
    return np.abs(main_option_clearance - main_clearance_target)


def main_option_best(
    main_option_clearance: Value,
    main_option_deviation: Value,
    main_option_within: Value,
    shown_length: Value,
) -> Value:
    r"""Clearances of those pairs of grades that come nearest the wanted clearance.

    .. math:: C_{best} = C \text{ where } |C - C^*| = \min |C - C^*|

    over the pairs within the limits; over all pairs where none is within.

    Parameters
    ----------
    main_option_clearance : shape (..., main, shellpair), [m]
        Clearance with the pair.
    main_option_deviation : shape (..., main, shellpair), [m]
        Away from the wanted.
    main_option_within : shape (..., main, shellpair), [m]
        Away from the wanted, if within limits.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    main_option_best : shape (..., main, shellpair), [m]
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
    >>> best = main_option_best(clearance, away, away, np.array([0.001]))
    >>> (best * 1e3).tolist()
    [nan, 0.052, 0.048]
    """
    return bearings.best_options(
        main_option_clearance, main_option_deviation, main_option_within, shown_length
    )


def main_pick_clearance(main_option_best: Value, main_option_equal: Value) -> Value:
    r"""Clearance of a main bearing with the nearest pair: equal halves first, then the bigger.

    .. math:: \max C_{best}

    Parameters
    ----------
    main_option_best : shape (..., main, shellpair), [m]
        Best pairs, clearance.
    main_option_equal : shape (..., main, shellpair), [m]
        Best pairs of equal halves, clearance.

    Returns
    -------
    main_pick_clearance : shape (..., main), [m]
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
    >>> float(main_pick_clearance(best, np.full(3, np.nan)))
    0.052
    """
    return bearings.largest_best(main_option_best, main_option_equal)


def main_pick_pair(main_option_best: Value, main_pick_clearance: Value) -> Value:
    r"""Pair, counted from 1, that comes nearest: the first that gives the picked clearance.

    .. math:: \min \{i : C_{best,i} = \max C_{best}\}

    Parameters
    ----------
    main_option_best : shape (..., main, shellpair), [m]
        Best pairs, clearance.
    main_pick_clearance : shape (..., main), [m]
        Clearance with the nearest pair.

    Returns
    -------
    main_pick_pair : shape (..., main), [1]
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
    >>> float(main_pick_pair(np.array([np.nan, 0.052, 0.052]), np.array([0.052])))
    2.0
    """
    pair_number = np.arange(main_option_best.shape[-1]) + 1
    return picked(first_match(main_pick_clearance, main_option_best), pair_number)


def main_pick_upper(main_pick_pair: Value, shellpair_upper: Value, main_grade_name: Value) -> Value:
    r"""Name of the upper grade of the nearest pair.

    .. math:: n_{u(i)}

    Parameters
    ----------
    main_pick_pair : shape (..., main), [1]
        Nearest pair, number.
    shellpair_upper : shape (..., shellpair), [1]
        Upper grade.
    main_grade_name : shape (..., grade), [1]
        Grade.

    Returns
    -------
    main_pick_upper : shape (..., main), [1]
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
    >>> float(main_pick_upper(np.array([[3]]), uppers, names))
    12.0
    """
    return bearings.grade_of_pair(main_pick_pair, shellpair_upper, main_grade_name)


def main_pick_lower(main_pick_pair: Value, shellpair_lower: Value, main_grade_name: Value) -> Value:
    r"""Name of the lower grade of the nearest pair.

    .. math:: n_{l(i)}

    Parameters
    ----------
    main_pick_pair : shape (..., main), [1]
        Nearest pair, number.
    shellpair_lower : shape (..., shellpair), [1]
        Lower grade.
    main_grade_name : shape (..., grade), [1]
        Grade.

    Returns
    -------
    main_pick_lower : shape (..., main), [1]
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
    >>> float(main_pick_lower(np.array([[3]]), lowers, names))
    11.0
    """
    return bearings.grade_of_pair(main_pick_pair, shellpair_lower, main_grade_name)


def main_shell_advice(
    main_housing_size_vertical: Value,
    main_journal_greatest: Value,
    main_clearance_target: Value,
    main_pick_pair: Value,
    main_pick_upper: Value,
    main_pick_lower: Value,
    main_shell_upper: Value,
    main_shell_lower: Value,
) -> Value:
    """Advice about the shells of a main bearing.

    Parameters
    ----------
    main_housing_size_vertical : shape (..., main), [m]
        Main housing at 20 °C, vertical.
    main_journal_greatest : shape (..., main), [m]
        Largest.
    main_clearance_target : shape (...), [m]
        Main bearing clearance wanted.
    main_pick_pair : shape (..., main), [1]
        Nearest pair, number.
    main_pick_upper : shape (..., main), [1]
        Nearest pair: upper.
    main_pick_lower : shape (..., main), [1]
        Nearest pair: lower.
    main_shell_upper : shape (..., main), [1]
        Upper shell.
    main_shell_lower : shape (..., main), [1]
        Lower shell.

    Returns
    -------
    main_shell_advice : shape (..., main), [1]
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
    >>> int(main_shell_advice(*sizes, 1, 7.0, 7.0, 7.0, 7.0))
    2
    >>> int(main_shell_advice(*sizes, 1, 7.0, 7.0, 8.0, 7.0))
    3
    """
    measured = ~(
        np.isnan(main_housing_size_vertical)
        | np.isnan(main_journal_greatest)
        | np.isnan(main_clearance_target)
    )
    return bearings.shell_advice(
        measured,
        main_pick_pair,
        (main_pick_upper, main_pick_lower),
        (main_shell_upper, main_shell_lower),
    )
