"""What the wanted clearance and the oil do to the least film of main bearings of nominal size."""

import numpy as np

from validators.reference.film_formula import least_gap, row_of, sommerfeld_number
from validators.reference.value import Value, only_where


def main_clearance_growth(
    nominal_size_main_housing: Value,
    nominal_size_main_journal: Value,
    main_clearance_target: Value,
    body_expansion_block: Value,
    body_expansion_shell: Value,
    body_expansion_crank: Value,
    bearing_housing_hot: Value,
    bearing_shell_hot: Value,
    bearing_journal_hot: Value,
    reference_temperature: Value,
) -> Value:
    r"""By how much the clearance of a main bearing of nominal sizes grows when hot.

    .. math:: H \alpha_h \Delta T_h - (H - J - C) \alpha_s \Delta T_s - J \alpha_j \Delta T_j

    Parameters
    ----------
    nominal_size_main_housing : shape (...), [m]
        Nominal size, main housing.
    nominal_size_main_journal : shape (...), [m]
        Nominal size, main journal.
    main_clearance_target : shape (...), [m]
        Main bearing clearance wanted.
    body_expansion_block : shape (...), [1/K]
        Expansion used, block.
    body_expansion_shell : shape (...), [1/K]
        Expansion used, shell.
    body_expansion_crank : shape (...), [1/K]
        Expansion used, crank.
    bearing_housing_hot : shape (...), [K]
        Bearing housings hot.
    bearing_shell_hot : shape (...), [K]
        Shells hot.
    bearing_journal_hot : shape (...), [K]
        Journals hot.
    reference_temperature : shape (...), [K]
        Reference temperature.

    Returns
    -------
    main_clearance_growth : shape (...), [m]
        Main bearing, hot less cold.

    Notes
    -----
    nan where an input is missing. The two walls are what is left between housing and journal.

    Source
    ------
    Linear expansion of each part from the reference temperature.

    Examples
    --------
    >>> hot = (373.15, 383.15, 383.15, 293.15)
    >>> float(main_clearance_growth(0.064, 0.06, 5e-5, 11e-6, 11.7e-6, 11.7e-6, *hot))
    -1.101e-05
    """
    housing = (
        nominal_size_main_housing
        * body_expansion_block
        * (bearing_housing_hot - reference_temperature)
    )
    walls = nominal_size_main_housing - nominal_size_main_journal - main_clearance_target
    shells = walls * body_expansion_shell * (bearing_shell_hot - reference_temperature)
    journal = (
        nominal_size_main_journal
        * body_expansion_crank
        * (bearing_journal_hot - reference_temperature)
    )
    return housing - shells - journal


def main_trial_clearance(
    main_clearance_target: Value, trial_place: Value, trial_step: Value
) -> Value:
    r"""Clearance of the main bearings that is tried, at 20 °C.

    .. math:: C + i \Delta C

    Parameters
    ----------
    main_clearance_target : shape (...), [m]
        Main bearing clearance wanted.
    trial_place : shape (..., trial), [1]
        Steps from the wanted clearance.
    trial_step : shape (...), [m]
        Step between the clearances.

    Returns
    -------
    main_trial_clearance : shape (..., trial), [m]
        Clearance at 20 °C.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    A choice, no equation.

    Examples
    --------
    >>> float(main_trial_clearance(5e-5, -2.0, 1e-5))
    3e-05
    """
    return main_clearance_target + trial_place * trial_step


def main_trial_hot(main_trial_clearance: Value, main_clearance_growth: Value) -> Value:
    r"""Clearance of the main bearings that is tried, hot.

    .. math:: C + \Delta C_{hot}

    Parameters
    ----------
    main_trial_clearance : shape (..., trial), [m]
        Clearance at 20 °C.
    main_clearance_growth : shape (...), [m]
        Main bearing, hot less cold.

    Returns
    -------
    main_trial_hot : shape (..., trial), [m]
        Clearance, hot.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Sum.

    Examples
    --------
    >>> float(main_trial_hot(5e-5, -1e-5))
    4e-05
    """
    return main_trial_clearance + main_clearance_growth


def main_trial_sommerfeld(
    main_trial_hot: Value,
    main_trial_load: Value,
    trial_speed: Value,
    trial_viscosity: Value,
    main_bearing_width: Value,
    nominal_size_main_journal: Value,
    film_clearance_lowest: Value,
    shown_length: Value,
) -> Value:
    r"""Sommerfeld number of a main bearing of nominal size.

    .. math:: S = \left(\frac{D}{C}\right)^2 \frac{\eta n L D}{W}

    Parameters
    ----------
    main_trial_hot : shape (..., trial), [m]
        Clearance, hot.
    main_trial_load : shape (...), [N]
        Main load compared.
    trial_speed : shape (...), [rad/s]
        Speed compared at.
    trial_viscosity : shape (..., oil, warm), [Pa*s]
        Viscosity compared.
    main_bearing_width : shape (...), [m]
        Main bearing width, effective.
    nominal_size_main_journal : shape (...), [m]
        Nominal size, main journal.
    film_clearance_lowest : shape (...), [m]
        Hot clearance, least that a film is reckoned for.
    shown_length : shape (...), [m]
        SI size of the unit of length that the workbook shows.

    Returns
    -------
    main_trial_sommerfeld : shape (..., trial, oil, warm), [1]
        Sommerfeld number.

    Notes
    -----
    nan where an input is missing or not positive, and where hardly any clearance is left when
    hot, at nine decimals of the shown unit.

    Source
    ------
    Raimondi and Boyd (1958, from memory).

    Examples
    --------
    >>> load = 20e6 * 0.02 * 0.052
    >>> bearing = (50e-6, load, 200 * np.pi, 0.009, 0.02, 0.052, 2e-6, 1e-3)
    >>> float(main_trial_sommerfeld(*bearing))
    0.048672
    """
    area = only_where(
        (main_bearing_width > 0) & (nominal_size_main_journal > 0),
        main_bearing_width * nominal_size_main_journal,
    )
    return sommerfeld_number(
        nominal_size_main_journal,
        main_trial_hot,
        trial_viscosity,
        trial_speed,
        main_trial_load / area,
        film_clearance_lowest,
        shown_length,
    )


def main_trial_node(main_trial_sommerfeld: Value, main_node_sommerfeld: Value) -> Value:
    r"""Row of the table after which the Sommerfeld number lies.

    .. math:: \#\{S_j \le S\}

    Parameters
    ----------
    main_trial_sommerfeld : shape (..., trial, oil, warm), [1]
        Sommerfeld number.
    main_node_sommerfeld : shape (..., node), [1]
        Sommerfeld number, main bearing.

    Returns
    -------
    main_trial_node : shape (..., trial, oil, warm), [1]
        Row of the table.

    Notes
    -----
    0 where the load is heavier than in the table. nan where either is missing.

    Source
    ------
    A count, no equation.

    Examples
    --------
    >>> float(main_trial_node(np.array([0.01]), np.array([0.02, 0.05, 0.12])))
    0.0
    """
    return row_of(main_trial_sommerfeld, main_node_sommerfeld)


def main_trial_film(
    main_trial_sommerfeld: Value,
    main_node_sommerfeld: Value,
    node_eccentricity: Value,
    main_trial_hot: Value,
) -> Value:
    r"""Least film of a main bearing with the clearance that is tried.

    .. math:: h = (1 - \varepsilon) \frac{C}{2}

    Parameters
    ----------
    main_trial_sommerfeld : shape (..., trial, oil, warm), [1]
        Sommerfeld number.
    main_node_sommerfeld : shape (..., node), [1]
        Sommerfeld number, main bearing.
    node_eccentricity : shape (..., node), [1]
        Eccentricity.
    main_trial_hot : shape (..., trial), [m]
        Clearance, hot.

    Returns
    -------
    main_trial_film : shape (..., trial, oil, warm), [m]
        Least film.

    Notes
    -----
    nan where an input is missing or the Sommerfeld number lies outside the table.

    Source
    ------
    Interpolation along logarithms between rows of the closed form.

    Examples
    --------
    >>> table = (np.array([0.04, 0.16]), np.array([0.96, 0.84]))
    >>> float(main_trial_film(np.array([0.08]), *table, np.array([5e-5])))
    2e-06
    """
    gap = least_gap(main_trial_sommerfeld, main_node_sommerfeld, node_eccentricity)
    return gap * main_trial_hot[..., 0] / 2


def main_trial_outside(main_trial_sommerfeld: Value, main_trial_film: Value) -> Value:
    r"""How many oils and temperatures lie outside the range of the formula.

    .. math:: \#\{S\} - \#\{h\}

    Parameters
    ----------
    main_trial_sommerfeld : shape (..., trial, oil, warm), [1]
        Sommerfeld number.
    main_trial_film : shape (..., trial, oil, warm), [m]
        Least film.

    Returns
    -------
    main_trial_outside : shape (..., trial), [1]
        Outside range of formula.

    Notes
    -----
    Never nan.

    Source
    ------
    A count, no equation.

    Examples
    --------
    >>> int(main_trial_outside(np.array([[0.1, 9.0]]), np.array([[3e-6, np.nan]])))
    1
    """
    return np.sum(~np.isnan(main_trial_sommerfeld) & np.isnan(main_trial_film), axis=(-2, -1))
