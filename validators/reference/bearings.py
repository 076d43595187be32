"""Equations that main and rod bearings share: walls, clearances, choice of shells."""

import numpy as np

from validators.reference.present import largest_present, smallest_present
from validators.reference.value import Value, first_match, only_where, picked, rounded_nine
from validators.reference.words import ClosureState, PickFit, ShellAdvice, ThickerHalf

__not_quantities__ = (
    "best_options",
    "clearance_of_pairs",
    "clearance_when_hot",
    "closure_state",
    "equal_halves",
    "grade_of_pair",
    "largest_best",
    "pick_fit",
    "shell_advice",
    "shells_of_grade",
    "shells_to_get",
    "wall_used",
    "within_limits",
)


def wall_used(
    typed: Value, measured: Value, shell: Value, grade_name: Value, grade_wall: Value
) -> Value:
    """Wall of a shell: as measured where a reading is typed, else that of its grade.

    Parameters
    ----------
    typed : shape (..., 1), [m]
        The reading as typed; nan where there is none.
    measured : shape (..., 1), [m]
        The reading at the reference temperature.
    shell : shape (..., 1), [1]
        Name of the grade that is fitted.
    grade_name : shape (..., grade), [1]
        Names of the grades; the first of equal names counts.
    grade_wall : shape (..., grade), [m]
        Walls of the grades.

    Returns
    -------
    wall_used : shape (...), [m]
        nan where a typed reading does not convert, or no grade has the name.

    Examples
    --------
    >>> nothing, names, walls = np.array([np.nan]), np.array([1.0, 2.0]), np.array([1.980, 1.985])
    >>> float(wall_used(nothing, nothing, np.array([2.0]), names, walls))
    1.985
    >>> float(wall_used(np.array([1.984]), np.array([1.983]), np.array([2.0]), names, walls))
    1.983
    """
    by_grade = picked(first_match(shell, grade_name), grade_wall)
    return np.where(np.isnan(typed[..., 0]), by_grade, measured[..., 0])


def closure_state(
    closure: Value, uncertainty: Value, closure_factor: Value, shown_length: Value
) -> Value:
    """Whether two routes to one clearance agree within a number of standard uncertainties.

    Parameters
    ----------
    closure, uncertainty : shape (...), [m]
        Difference of the two routes and its standard uncertainty.
    closure_factor : shape (...), [1]
        How many standard uncertainties are believed.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows; compared in it, at nine decimals.

    Returns
    -------
    closure_state : shape (...), [1]

    Examples
    --------
    >>> [int(closure_state(gap, 0.0010, 3.0, 1.0)) for gap in (np.nan, -0.002, 0.0031)]
    [0, 1, 2]
    """
    beyond = np.abs(closure) - closure_factor * uncertainty
    return np.select(
        [np.isnan(closure) | np.isnan(uncertainty), rounded_nine(beyond / shown_length) <= 0],
        [ClosureState.ONE_ROUTE_ONLY, ClosureState.AGREE],
        ClosureState.DISAGREE,
    )


def clearance_when_hot(
    housing: tuple[Value, Value, Value],
    walls: tuple[Value, Value, Value],
    journal: tuple[Value, Value, Value],
    reference_temperature: Value,
) -> Value:
    r"""Clearance of a bearing whose parts have each their own temperature.

    .. math:: H (1 + \alpha_h (T_h - T_{ref})) - (t_u + t_l)(1 + \alpha_s (T_s - T_{ref}))
        - J (1 + \alpha_j (T_j - T_{ref}))

    Parameters
    ----------
    housing, walls, journal : three of shape (...), [m], [1/K] and [K]
        Size (of both walls together), expansion and temperature.
    reference_temperature : shape (...), [K]
        Temperature at which the sizes hold.

    Returns
    -------
    clearance_when_hot : shape (...), [m]

    Examples
    --------
    >>> steel, iron = 11.7e-6, 11e-6
    >>> hot = (64.004, iron, 373.15), (3.970, steel, 383.15), (59.985, steel, 383.15)
    >>> clearance_when_hot(*hot, 293.15)
    0.037978905
    """
    housing_size, housing_expansion, housing_temperature = housing
    wall_size, wall_expansion, wall_temperature = walls
    journal_size, journal_expansion, journal_temperature = journal
    return (
        housing_size * (1 + housing_expansion * (housing_temperature - reference_temperature))
        - wall_size * (1 + wall_expansion * (wall_temperature - reference_temperature))
        - journal_size * (1 + journal_expansion * (journal_temperature - reference_temperature))
    )


def clearance_of_pairs(
    room: Value,
    grade_wall: Value,
    upper: Value,
    lower: Value,
    shell_steps_apart: Value,
    thicker_half: Value,
) -> Value:
    """Clearance that each pair of grades would give; nan where the pair is not allowed.

    Parameters
    ----------
    room : shape (..., shellpair or 1, 1), [m]
        Housing minus journal.
    grade_wall : shape (..., grade), [m]
        Walls of the grades.
    upper, lower : shape (..., shellpair, 1), [1]
        Numbers, from 1, of the grades of each pair.
    shell_steps_apart : shape (..., 1, 1), [1]
        How many steps the two may lie apart.
    thicker_half : shape (..., 1, 1), [1]
        Where the thicker of the two may sit.

    Returns
    -------
    clearance_of_pairs : shape (..., shellpair), [m]

    Examples
    --------
    >>> room, walls = np.array([[4.01]]), np.array([1.980, 1.985])
    >>> pairs, rules = (np.array([[1], [1]]), np.array([[1], [2]])), np.array([[[1]], [[0]]])
    >>> clearance_of_pairs(room, walls, *pairs, *rules).tolist()
    [0.05, 0.045]
    """
    grade_number = np.arange(grade_wall.shape[-1]) + 1
    wall_upper = picked(grade_number == upper, grade_wall)
    wall_lower = picked(grade_number == lower, grade_wall)
    near = np.abs(upper - lower) <= shell_steps_apart
    right_way_round = (
        np.equal(thicker_half, ThickerHalf.EITHER)
        | (np.equal(thicker_half, ThickerHalf.UPPER) & (upper >= lower))
        | (np.equal(thicker_half, ThickerHalf.LOWER) & (lower >= upper))
    )
    allowed = near & right_way_round
    return only_where(allowed[..., 0], room[..., 0] - wall_upper - wall_lower)


def within_limits(
    clearance: Value, deviation: Value, lower: Value, upper: Value, shown_length: Value
) -> Value:
    """How far each pair is from the target, kept where its clearance oversteps no limit that is set.

    Parameters
    ----------
    clearance, deviation : shape (..., shellpair), [m]
        Clearance of each pair and how far it is from the target.
    lower, upper : shape (..., 1), [m]
        Limits of the clearance; nan where none is set.
    shown_length : shape (..., 1), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    within_limits : shape (..., shellpair), [m]
        nan for every pair outside the limits.

    Examples
    --------
    >>> clearance = np.array([0.029, 0.030, 0.060, 0.061])
    >>> within_limits(clearance, np.abs(clearance - 0.050), 0.030, 0.060, 1.0).tolist()
    [nan, 0.02, 0.01, nan]
    >>> float(within_limits(0.1, 0.05, np.nan, np.nan, 1.0))
    0.05
    """
    under = rounded_nine((clearance - lower) / shown_length) < 0
    over = rounded_nine((clearance - upper) / shown_length) > 0
    return only_where(~(under | over), deviation)


def pick_fit(pick_clearance: Value, within: Value) -> Value:
    """Whether the nearest pair keeps the limits.

    Parameters
    ----------
    pick_clearance : shape (..., 1), [m]
        Clearance with the nearest pair.
    within : shape (..., shellpair), [m]
        How far each pair within the limits is from the target; nan for the others.

    Returns
    -------
    pick_fit : shape (...), [1]

    Examples
    --------
    >>> [int(pick_fit(np.array([pick]), np.array([np.nan, 0.002]))) for pick in (np.nan, 0.05)]
    [0, 2]
    >>> int(pick_fit(np.array([0.05]), np.array([np.nan, np.nan])))
    1
    """
    return np.select(
        [np.isnan(pick_clearance[..., 0]), np.all(np.isnan(within), axis=-1)],
        [PickFit.WAITING, PickFit.OUTSIDE],
        PickFit.WITHIN,
    )


def shells_of_grade(grade_name: Value, pick: Value) -> Value:
    """Count the bearings whose nearest pair has a grade as its upper, or as its lower, half.

    Parameters
    ----------
    grade_name : shape (..., grade, 1), [1]
        Names of the grades.
    pick : shape (..., 1, bearing), [1]
        Grade of that half of the nearest pair of each bearing.

    Returns
    -------
    shells_of_grade : shape (..., grade), [1]
        nan for a grade without a name, and where no bearing has a nearest pair.

    Examples
    --------
    >>> names = np.array([[1.0], [2.0], [np.nan]])
    >>> shells_of_grade(names, np.array([[2.0, 2.0, np.nan]])).tolist()
    [0.0, 2.0, nan]
    """
    known = ~np.isnan(grade_name[..., 0]) & np.any(~np.isnan(pick), axis=-1)
    return only_where(known, np.sum(np.equal(pick, grade_name), axis=-1))


def shells_to_get(wanted: Value, grade_name: Value, fitted: Value) -> Value:
    """Shells of a grade that are wanted beyond those that are named as fitted, wherever they are.

    Parameters
    ----------
    wanted : shape (..., grade, 1), [1]
        Shells wanted.
    grade_name : shape (..., grade, 1), [1]
        Names of the grades.
    fitted : shape (..., 1, bearing), [1]
        Grade that is fitted in each bearing.

    Returns
    -------
    shells_to_get : shape (..., grade), [1]

    Examples
    --------
    >>> wanted, names = np.array([[0.0], [3.0]]), np.array([[1.0], [2.0]])
    >>> shells_to_get(wanted, names, np.array([[1.0, 2.0, np.nan]])).tolist()
    [0.0, 2.0]
    """
    return np.maximum(0.0, wanted[..., 0] - np.sum(np.equal(fitted, grade_name), axis=-1))


def best_options(clearance: Value, deviation: Value, within: Value, shown_length: Value) -> Value:
    """Clearances of those pairs that come nearest the target, at nine decimals of the shown unit.

    Where a pair keeps the limits, those that do not are out of the running.

    Parameters
    ----------
    clearance, deviation, within : shape (..., shellpair), [m]
        Clearance of each pair, how far it is from the target, and the same within the limits only.
    shown_length : shape (..., 1), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    best_options : shape (..., shellpair), [m]
        nan for every pair that another one beats.

    Examples
    --------
    >>> clearance = np.array([0.052, 0.047, 0.048, np.nan])
    >>> away, nothing = np.abs(clearance - 0.050), np.full(4, np.nan)
    >>> best_options(clearance, away, nothing, np.array([1.0])).tolist()
    [0.052, nan, 0.048, nan]
    >>> best_options(clearance, away, only_where(clearance < 0.048, away), np.array([1.0])).tolist()
    [nan, 0.047, nan, nan]
    """
    some_within = np.any(~np.isnan(within), axis=-1, keepdims=True)
    running = np.where(some_within, within, deviation)
    beaten = running - smallest_present(running)[..., np.newaxis]
    nearest = rounded_nine(beaten / shown_length) == 0
    return only_where(nearest, rounded_nine(clearance / shown_length) * shown_length)


def equal_halves(best: Value, upper: Value, lower: Value) -> Value:
    """Keep those of the best pairs whose halves are of one grade.

    Parameters
    ----------
    best : shape (..., shellpair), [m]
        Clearances of the best pairs, nan elsewhere.
    upper, lower : shape (..., shellpair), [1]
        Numbers of the grades of each pair.

    Returns
    -------
    equal_halves : shape (..., shellpair), [m]

    Examples
    --------
    >>> equal_halves(np.array([0.048, 0.052]), np.array([2, 1]), np.array([2, 2])).tolist()
    [0.048, nan]
    """
    return only_where(np.equal(upper, lower), best)


def largest_best(best: Value, equal: Value) -> Value:
    """Largest of the best clearances: equal halves before an odd pair, then the bigger clearance.

    Parameters
    ----------
    best, equal : shape (..., shellpair), [m]
        Clearances of the best pairs, and of those of equal halves; nan elsewhere.

    Returns
    -------
    largest_best : shape (...), [m]
        nan where no pair is allowed.

    Examples
    --------
    >>> best, nothing = np.array([0.052, np.nan, 0.048]), np.full(3, np.nan)
    >>> float(largest_best(best, nothing))
    0.052
    >>> float(largest_best(best, np.array([np.nan, np.nan, 0.048])))
    0.048
    """
    largest_equal = largest_present(equal)
    return np.where(np.isnan(largest_equal), largest_present(best), largest_equal)


def grade_of_pair(pick_pair: Value, grade_of_each: Value, grade_name: Value) -> Value:
    """Name of the upper, or of the lower, grade of the pair that was picked.

    Parameters
    ----------
    pick_pair : shape (..., 1, 1), [1]
        Number, from 1, of the pair.
    grade_of_each : shape (..., shellpair, 1), [1]
        Number, from 1, of the grade of every pair.
    grade_name : shape (..., 1, grade), [1]
        Names of the grades.

    Returns
    -------
    grade_of_pair : shape (...), [1]
        nan where no pair is picked, or its grade has no name.

    Examples
    --------
    >>> uppers, names = np.array([[1.0], [1.0], [2.0]]), np.array([[11.0, 12.0]])
    >>> float(grade_of_pair(np.array([[3.0]]), uppers, names))
    12.0
    """
    pair_number = np.arange(grade_of_each.shape[-2])[:, np.newaxis] + 1
    grade_number = np.arange(grade_name.shape[-1]) + 1
    here = np.equal(pair_number, pick_pair) & np.equal(grade_number, grade_of_each)
    return picked(np.any(here, axis=-2), grade_name[..., 0, :])


def shell_advice(
    measured: Value, pick_pair: Value, pick: tuple[Value, Value], fitted: tuple[Value, Value]
) -> Value:
    """Advice about the shells of a bearing.

    Parameters
    ----------
    measured : shape (...), truth values
        Whether housing, journal and target are there.
    pick_pair : shape (...), [1]
        Number of the nearest pair; nan where no pair is allowed.
    pick, fitted : two of shape (...), [1]
        Upper and lower grade of the nearest pair, and of the pair chosen.

    Returns
    -------
    shell_advice : shape (...), [1]

    Examples
    --------
    >>> [int(shell_advice(True, 2, (1, 2), fitted)) for fitted in ((1, 2), (1, 1))]
    [2, 4]
    >>> [int(shell_advice(True, pair, (1, 1), (2, 1))) for pair in (1, np.nan)]
    [3, 1]
    """
    (pick_upper, pick_lower), (upper, lower) = pick, fitted
    same_grade = np.equal(pick_upper, pick_lower)
    return np.select(
        [
            np.logical_not(measured),
            np.isnan(pick_pair),
            np.equal(upper, pick_upper) & np.equal(lower, pick_lower),
            np.logical_not(same_grade),
        ],
        [
            ShellAdvice.NOT_MEASURED,
            ShellAdvice.NO_PAIR_OFFERED,
            ShellAdvice.KEEP,
            ShellAdvice.ODD_PAIR,
        ],
        ShellAdvice.CHANGE,
    )
