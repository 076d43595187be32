"""Oil clearance of the main bearings, by two routes, cold and hot."""

import numpy as np

from validators.reference import bearings
from validators.reference.value import Value, only_where


def main_clearance_computed(
    main_housing_size_vertical: Value,
    main_wall_upper_used: Value,
    main_wall_lower_used: Value,
    main_journal_greatest: Value,
) -> Value:
    r"""Vertical oil clearance of a main bearing from housing, walls and journal.

    .. math:: H - t_u - t_l - J

    Parameters
    ----------
    main_housing_size_vertical : shape (..., main), [m]
        Main housing at 20 °C, vertical.
    main_wall_upper_used : shape (..., main), [m]
        Upper wall used.
    main_wall_lower_used : shape (..., main), [m]
        Lower wall used.
    main_journal_greatest : shape (..., main), [m]
        Largest.

    Returns
    -------
    main_clearance_computed : shape (..., main), [m]
        Clearance, computed.

    Notes
    -----
    nan where an input is missing. Crush of the shells is not in it, a few micrometres.

    Source
    ------
    Geometry of the assembled bearing; common practice.

    Examples
    --------
    >>> main_clearance_computed(64.004, 1.985, 1.985, 59.985)
    0.049
    """
    installed_bore = main_housing_size_vertical - main_wall_upper_used - main_wall_lower_used
    return installed_bore - main_journal_greatest


def main_clearance_direct(main_installed_bore_size: Value, main_journal_greatest: Value) -> Value:
    r"""Vertical oil clearance of a main bearing from the bore of the shells as installed.

    .. math:: D_{installed} - J

    Parameters
    ----------
    main_installed_bore_size : shape (..., main), [m]
        Installed shell bore at 20 °C.
    main_journal_greatest : shape (..., main), [m]
        Largest.

    Returns
    -------
    main_clearance_direct : shape (..., main), [m]
        Clearance, measured directly.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> main_clearance_direct(60.036, 59.985)
    0.051
    """
    return main_installed_bore_size - main_journal_greatest


def main_clearance(main_clearance_direct: Value, main_clearance_computed: Value) -> Value:
    r"""Oil clearance of a main bearing: measured directly where it was, else computed.

    .. math:: C = C_{direct} \text{ if there is one, else } C_{computed}

    Parameters
    ----------
    main_clearance_direct : shape (..., main), [m]
        Clearance, measured directly.
    main_clearance_computed : shape (..., main), [m]
        Clearance, computed.

    Returns
    -------
    main_clearance : shape (..., main), [m]
        Oil clearance.

    Notes
    -----
    nan where neither route gives a figure. Zero and below are shown as they are.

    Source
    ------
    Common practice: the bore of the shells as installed has the crush in it.

    Examples
    --------
    >>> float(main_clearance(np.nan, 0.049)), float(main_clearance(0.051, 0.049))
    (0.049, 0.051)
    """
    return np.where(np.isnan(main_clearance_direct), main_clearance_computed, main_clearance_direct)


def main_clearance_closure(main_clearance_direct: Value, main_clearance_computed: Value) -> Value:
    r"""Disagreement of the two routes to the clearance of a main bearing.

    .. math:: C_{direct} - C_{computed}

    Parameters
    ----------
    main_clearance_direct : shape (..., main), [m]
        Clearance, measured directly.
    main_clearance_computed : shape (..., main), [m]
        Clearance, computed.

    Returns
    -------
    main_clearance_closure : shape (..., main), [m]
        Direct minus computed.

    Notes
    -----
    nan where only one route gives a figure.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> main_clearance_closure(0.051, 0.049)
    0.002
    """
    return main_clearance_direct - main_clearance_computed


def main_closure_state(
    main_clearance_closure: Value,
    main_clearance_uncertainty: Value,
    closure_factor: Value,
    shown_length: Value,
) -> Value:
    r"""Whether the two routes to the clearance of a main bearing agree.

    .. math:: |C_{direct} - C_{computed}| \le k u

    Parameters
    ----------
    main_clearance_closure : shape (..., main), [m]
        Direct minus computed.
    main_clearance_uncertainty : shape (...), [m]
        u, main bearing clearance.
    closure_factor : shape (...), [1]
        Two routes agree within this many standard uncertainties.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    main_closure_state : shape (..., main), [1]
        The two routes.

    Notes
    -----
    One route only, where the disagreement or its uncertainty is missing.

    Source
    ------
    Three standard uncertainties: common practice, no source.

    Examples
    --------
    >>> [int(main_closure_state(gap, 1.0e-6, 3.0, 0.001)) for gap in (np.nan, 2.0e-6, -3.1e-6)]
    [0, 1, 2]
    """
    return bearings.closure_state(
        main_clearance_closure, main_clearance_uncertainty, closure_factor, shown_length
    )


def main_clearance_ratio(main_clearance: Value, main_journal_greatest: Value) -> Value:
    r"""Clearance of a main bearing per journal diameter.

    .. math:: C / J

    Parameters
    ----------
    main_clearance : shape (..., main), [m]
        Oil clearance.
    main_journal_greatest : shape (..., main), [m]
        Largest.

    Returns
    -------
    main_clearance_ratio : shape (..., main), [1]
        Clearance per journal.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Definition, common practice.

    Examples
    --------
    >>> float(main_clearance_ratio(0.049, 59.985))
    0.0008168708844
    """
    return main_clearance / only_where(main_journal_greatest > 0, main_journal_greatest)


def main_length_ratio(main_bearing_width: Value, main_journal_greatest: Value) -> Value:
    r"""Effective width of a main bearing over its journal diameter.

    .. math:: L_b / J

    Parameters
    ----------
    main_bearing_width : shape (...), [m]
        Main bearing width, effective.
    main_journal_greatest : shape (..., main), [m]
        Largest.

    Returns
    -------
    main_length_ratio : shape (..., main), [1]
        Length over diameter.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Definition; textbooks on journal bearings (from memory).

    Examples
    --------
    >>> float(main_length_ratio(19, 51.981))
    0.3655181701
    """
    return main_bearing_width / only_where(main_journal_greatest > 0, main_journal_greatest)


def main_clearance_hot(
    main_housing_size_vertical: Value,
    main_wall_upper_used: Value,
    main_wall_lower_used: Value,
    main_journal_greatest: Value,
    body_expansion_block: Value,
    body_expansion_shell: Value,
    body_expansion_crank: Value,
    bearing_housing_hot: Value,
    bearing_shell_hot: Value,
    bearing_journal_hot: Value,
    reference_temperature: Value,
) -> Value:
    r"""Oil clearance of a main bearing when its parts are hot.

    .. math:: H (1 + \alpha_h (T_h - T_{ref})) - (t_u + t_l)(1 + \alpha_s (T_s - T_{ref}))
        - J (1 + \alpha_j (T_j - T_{ref}))

    Parameters
    ----------
    main_housing_size_vertical : shape (..., main), [m]
        Main housing at 20 °C, vertical.
    main_wall_upper_used : shape (..., main), [m]
        Upper wall used.
    main_wall_lower_used : shape (..., main), [m]
        Lower wall used.
    main_journal_greatest : shape (..., main), [m]
        Largest.
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
    main_clearance_hot : shape (..., main), [m]
        Clearance, hot.

    Notes
    -----
    nan where an input is missing. The shell follows its housing as long as crush remains.

    Source
    ------
    Linear expansion of each part from the reference temperature.

    Examples
    --------
    >>> sizes, hot = (64.004, 1.985, 1.985, 59.985), (373.15, 383.15, 383.15)
    >>> main_clearance_hot(*sizes, 11e-6, 11.7e-6, 11.7e-6, *hot, 293.15)
    0.037978905
    """
    return bearings.clearance_when_hot(
        (main_housing_size_vertical, body_expansion_block, bearing_housing_hot),
        (main_wall_upper_used + main_wall_lower_used, body_expansion_shell, bearing_shell_hot),
        (main_journal_greatest, body_expansion_crank, bearing_journal_hot),
        reference_temperature,
    )
