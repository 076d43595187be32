"""Oil films of the main bearings: Sommerfeld number, eccentricity, least film, state of the formula."""

import numpy as np

from validators.reference.film_formula import (
    least_gap,
    range_state,
    row_of,
    sommerfeld_number,
)
from validators.reference.value import Value, only_where


def main_pressure(
    main_load: Value, main_bearing_width: Value, main_journal_greatest: Value
) -> Value:
    r"""Load of a main bearing over the area of its shadow.

    .. math:: P = \frac{W}{L D}

    Parameters
    ----------
    main_load : shape (..., main, duty), [N]
        Load.
    main_bearing_width : shape (...), [m]
        Main bearing width, effective.
    main_journal_greatest : shape (..., main), [m]
        Largest.

    Returns
    -------
    main_pressure : shape (..., main, duty), [Pa]
        Specific load.

    Notes
    -----
    nan where an input is missing, or length or size is not positive.

    Source
    ------
    Textbooks on machine elements (from memory).

    Examples
    --------
    >>> float(main_pressure(20000.0, 0.02, 0.05))
    20000000.0
    """
    area = only_where(
        (main_bearing_width > 0) & (main_journal_greatest > 0),
        main_bearing_width * main_journal_greatest,
    )
    return main_load / area


def main_sommerfeld(
    main_pressure: Value,
    main_journal_greatest: Value,
    main_clearance_hot: Value,
    duty_viscosity: Value,
    duty_speed_used: Value,
    film_clearance_lowest: Value,
    shown_length: Value,
) -> Value:
    r"""Sommerfeld number of a main bearing.

    .. math:: S = \left(\frac{D}{C}\right)^2 \frac{\eta n}{P}, \qquad n = \frac{\omega}{2 \pi}

    Parameters
    ----------
    main_pressure : shape (..., main, duty), [Pa]
        Specific load.
    main_journal_greatest : shape (..., main), [m]
        Largest.
    main_clearance_hot : shape (..., main), [m]
        Clearance, hot.
    duty_viscosity : shape (..., duty), [Pa*s]
        Viscosity of the oil used.
    duty_speed_used : shape (..., duty), [rad/s]
        Speed used.
    film_clearance_lowest : shape (...), [m]
        Hot clearance, least that a film is reckoned for.
    shown_length : shape (...), [m]
        SI size of the unit of length that the workbook shows.

    Returns
    -------
    main_sommerfeld : shape (..., main, duty), [1]
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
    >>> bearing = (20e6, 0.052, 50e-6, 0.009, 200 * np.pi, 2e-6, 1e-3)
    >>> float(main_sommerfeld(*bearing))
    0.048672
    """
    return sommerfeld_number(
        main_journal_greatest,
        main_clearance_hot,
        duty_viscosity,
        duty_speed_used,
        main_pressure,
        film_clearance_lowest,
        shown_length,
    )


def main_film_node(main_sommerfeld: Value, main_node_sommerfeld: Value) -> Value:
    r"""Row of the table after which the Sommerfeld number of a main bearing lies.

    .. math:: \#\{S_j \le S\}

    Parameters
    ----------
    main_sommerfeld : shape (..., main, duty), [1]
        Sommerfeld number.
    main_node_sommerfeld : shape (..., node), [1]
        Sommerfeld number, main bearing.

    Returns
    -------
    main_film_node : shape (..., main, duty), [1]
        Row of the table.

    Notes
    -----
    0 where the load is heavier than in the table. nan where either is missing.

    Source
    ------
    A count, no equation.

    Examples
    --------
    >>> float(main_film_node(np.array([0.06]), np.array([0.02, 0.05, 0.12])))
    2.0
    """
    return row_of(main_sommerfeld, main_node_sommerfeld)


def main_film_eccentricity(
    main_sommerfeld: Value, main_node_sommerfeld: Value, node_eccentricity: Value
) -> Value:
    r"""Eccentricity of the journal of a main bearing.

    .. math:: 1 - \varepsilon = (1 - \varepsilon_j)
        \left(\frac{1 - \varepsilon_{j+1}}{1 - \varepsilon_j}\right)^{\ln(S / S_j) / \ln(S_{j+1} / S_j)}

    Parameters
    ----------
    main_sommerfeld : shape (..., main, duty), [1]
        Sommerfeld number.
    main_node_sommerfeld : shape (..., node), [1]
        Sommerfeld number, main bearing.
    node_eccentricity : shape (..., node), [1]
        Eccentricity.

    Returns
    -------
    main_film_eccentricity : shape (..., main, duty), [1]
        Eccentricity.

    Notes
    -----
    nan where an input is missing or the Sommerfeld number lies outside the table.

    Source
    ------
    Interpolation along logarithms between rows of the closed form.

    Examples
    --------
    >>> table = (np.array([0.04, 0.16]), np.array([0.96, 0.84]))
    >>> float(main_film_eccentricity(np.array([0.08]), *table))
    0.92
    """
    return 1 - least_gap(main_sommerfeld, main_node_sommerfeld, node_eccentricity)


def main_film(main_film_eccentricity: Value, main_clearance_hot: Value) -> Value:
    r"""Least film of a main bearing under a steady load.

    .. math:: h = (1 - \varepsilon) \frac{C}{2}

    Parameters
    ----------
    main_film_eccentricity : shape (..., main, duty), [1]
        Eccentricity.
    main_clearance_hot : shape (..., main), [m]
        Clearance, hot.

    Returns
    -------
    main_film : shape (..., main, duty), [m]
        Least film.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Geometry of a round journal in a round bearing.

    Examples
    --------
    >>> float(main_film(0.8, 50e-6))
    5e-06
    """
    return (1 - main_film_eccentricity) * main_clearance_hot / 2


def main_film_ratio(main_film: Value, journal_roughness: Value, shell_roughness: Value) -> Value:
    r"""Least film of a main bearing over the roughness of both surfaces.

    .. math:: \Lambda = \frac{h}{\sqrt{R_{a1}^2 + R_{a2}^2}}

    Parameters
    ----------
    main_film : shape (..., main, duty), [m]
        Least film.
    journal_roughness : shape (...), [m]
        Journals, Ra.
    shell_roughness : shape (...), [m]
        Shells, Ra.

    Returns
    -------
    main_film_ratio : shape (..., main, duty), [1]
        Film over roughness.

    Notes
    -----
    nan where an input is missing or both surfaces are without roughness.

    Source
    ------
    Textbooks on lubrication (from memory), with Ra for the root mean square.

    Examples
    --------
    >>> float(main_film_ratio(3e-6, 0.3e-6, 0.4e-6))
    6.0
    """
    combined = np.sqrt(journal_roughness**2 + shell_roughness**2)
    return main_film / only_where(combined > 0, combined)


def main_film_state(
    main_clearance_hot: Value,
    film_clearance_lowest: Value,
    main_sommerfeld: Value,
    main_film_length_ratio: Value,
    main_node_sommerfeld: Value,
    shown_length: Value,
) -> Value:
    r"""Whether the formula holds for a main bearing.

    .. math:: 0.2 \le q \le 1, \qquad S_{0.97} \le S < S_{0.10}

    Parameters
    ----------
    main_clearance_hot : shape (..., main), [m]
        Clearance, hot.
    film_clearance_lowest : shape (...), [m]
        Hot clearance, least that a film is reckoned for.
    main_sommerfeld : shape (..., main, duty), [1]
        Sommerfeld number.
    main_film_length_ratio : shape (...), [1]
        Main bearing, L/D nominal.
    main_node_sommerfeld : shape (..., node), [1]
        Sommerfeld number, main bearing.
    shown_length : shape (...), [m]
        SI size of the unit of length that the workbook shows.

    Returns
    -------
    main_film_state : shape (..., main, duty), [1]
        Formula.

    Notes
    -----
    Never nan. Clearance and length are compared at nine decimals.

    Source
    ------
    Range of the fit.

    Examples
    --------
    >>> grid = np.array([0.02, 0.05, 0.12])
    >>> bearing = (5e-5, 2e-6, np.array([0.2]), np.array([0.4]), grid, 1e-3)
    >>> int(main_film_state(*bearing))
    4
    """
    return range_state(
        main_clearance_hot,
        film_clearance_lowest,
        main_sommerfeld,
        main_film_length_ratio,
        main_node_sommerfeld,
        shown_length,
    )
