"""Which pairs of shell grades keep the limits of the clearance, and which have equal halves."""

from validators.reference import bearings
from validators.reference.value import Value


def main_option_within(
    main_option_clearance: Value,
    main_option_deviation: Value,
    main_clearance_lower: Value,
    main_clearance_upper: Value,
    shown_length: Value,
) -> Value:
    r"""How far a pair of grades leaves a main bearing from the wanted clearance, if within its limits.

    .. math:: |C - C^*| \text{ where } C_{lower} \le C \le C_{upper}

    Parameters
    ----------
    main_option_clearance : shape (..., main, shellpair), [m]
        Clearance with the pair.
    main_option_deviation : shape (..., main, shellpair), [m]
        Away from the wanted.
    main_clearance_lower, main_clearance_upper : shape (...), [m]
        Limits of the oil clearance.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    main_option_within : shape (..., main, shellpair), [m]
        Away from the wanted, if within limits.

    Notes
    -----
    A limit that is not set excludes nothing. Compared at nine decimals of the unit that the workbook
    shows, without uncertainty: it is the same for every pair. nan outside the limits.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(main_option_within(0.058e-3, 0.008e-3, 0.030e-3, 0.060e-3, 0.001))
    8e-06
    >>> float(main_option_within(0.061e-3, 0.011e-3, 0.030e-3, 0.060e-3, 0.001))
    nan
    """
    return bearings.within_limits(
        main_option_clearance,
        main_option_deviation,
        main_clearance_lower,
        main_clearance_upper,
        shown_length,
    )


def rod_option_within(
    rod_option_clearance: Value,
    rod_option_deviation: Value,
    rod_clearance_lower: Value,
    rod_clearance_upper: Value,
    shown_length: Value,
) -> Value:
    r"""How far a pair of grades leaves a rod bearing from the wanted clearance, if within its limits.

    .. math:: |C - C^*| \text{ where } C_{lower} \le C \le C_{upper}

    Parameters
    ----------
    rod_option_clearance : shape (..., cylinder, shellpair), [m]
        Clearance with the pair.
    rod_option_deviation : shape (..., cylinder, shellpair), [m]
        Away from the wanted.
    rod_clearance_lower, rod_clearance_upper : shape (...), [m]
        Limits of the oil clearance.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    rod_option_within : shape (..., cylinder, shellpair), [m]
        Away from the wanted, if within limits.

    Notes
    -----
    A limit that is not set excludes nothing. Compared at nine decimals of the unit that the workbook
    shows, without uncertainty: it is the same for every pair. nan outside the limits.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(rod_option_within(0.058e-3, 0.008e-3, 0.030e-3, 0.060e-3, 0.001))
    8e-06
    >>> float(rod_option_within(0.061e-3, 0.011e-3, 0.030e-3, 0.060e-3, 0.001))
    nan
    """
    return bearings.within_limits(
        rod_option_clearance,
        rod_option_deviation,
        rod_clearance_lower,
        rod_clearance_upper,
        shown_length,
    )


def main_pick_fit(main_pick_clearance: Value, main_option_within: Value) -> Value:
    """Whether the nearest pair of a main bearing keeps the limits of its clearance.

    Parameters
    ----------
    main_pick_clearance : shape (..., main), [m]
        Clearance with the nearest pair.
    main_option_within : shape (..., main, shellpair), [m]
        Away from the wanted, if within limits.

    Returns
    -------
    main_pick_fit : shape (..., main), [1]
        Nearest pair.

    Notes
    -----
    Waiting, where no pair is allowed or nothing is measured.

    Source
    ------
    A look-up, no equation.

    Examples
    --------
    >>> import numpy as np
    >>> int(main_pick_fit(np.array([0.05]), np.array([np.nan, 0.002])))
    2
    """
    return bearings.pick_fit(main_pick_clearance, main_option_within)


def rod_pick_fit(rod_pick_clearance: Value, rod_option_within: Value) -> Value:
    """Whether the nearest pair of a rod bearing keeps the limits of its clearance.

    Parameters
    ----------
    rod_pick_clearance : shape (..., cylinder), [m]
        Clearance with the nearest pair.
    rod_option_within : shape (..., cylinder, shellpair), [m]
        Away from the wanted, if within limits.

    Returns
    -------
    rod_pick_fit : shape (..., cylinder), [1]
        Nearest pair.

    Notes
    -----
    Waiting, where no pair is allowed or nothing is measured.

    Source
    ------
    A look-up, no equation.

    Examples
    --------
    >>> import numpy as np
    >>> int(rod_pick_fit(np.array([0.05]), np.array([np.nan, 0.002])))
    2
    """
    return bearings.pick_fit(rod_pick_clearance, rod_option_within)


def main_option_equal(main_option_best: Value, shellpair_upper: Value, shellpair_lower: Value) -> Value:
    r"""Clearances of those best pairs of a main bearing whose halves are of one grade.

    .. math:: C_{best,i} \text{ where } u(i) = l(i)

    Parameters
    ----------
    main_option_best : shape (..., main, shellpair), [m]
        Best pairs, clearance.
    shellpair_upper, shellpair_lower : shape (..., shellpair), [1]
        Grades of the pair.

    Returns
    -------
    main_option_equal : shape (..., main, shellpair), [m]
        Best pairs of equal halves, clearance.

    Notes
    -----
    nan for every other pair.

    Source
    ------
    Common practice, no source: as few odd pairs as possible.

    Examples
    --------
    >>> float(main_option_equal(0.048e-3, 2, 2))
    4.8e-05
    >>> float(main_option_equal(0.048e-3, 1, 2))
    nan
    """
    return bearings.equal_halves(main_option_best, shellpair_upper, shellpair_lower)


def rod_option_equal(rod_option_best: Value, shellpair_upper: Value, shellpair_lower: Value) -> Value:
    r"""Clearances of those best pairs of a rod bearing whose halves are of one grade.

    .. math:: C_{best,i} \text{ where } u(i) = l(i)

    Parameters
    ----------
    rod_option_best : shape (..., cylinder, shellpair), [m]
        Best pairs, clearance.
    shellpair_upper, shellpair_lower : shape (..., shellpair), [1]
        Grades of the pair.

    Returns
    -------
    rod_option_equal : shape (..., cylinder, shellpair), [m]
        Best pairs of equal halves, clearance.

    Notes
    -----
    nan for every other pair.

    Source
    ------
    Common practice, no source: as few odd pairs as possible.

    Examples
    --------
    >>> float(rod_option_equal(0.048e-3, 2, 2))
    4.8e-05
    >>> float(rod_option_equal(0.048e-3, 1, 2))
    nan
    """
    return bearings.equal_halves(rod_option_best, shellpair_upper, shellpair_lower)
