"""Oil clearance of the rod bearings, by two routes, cold and hot."""

import numpy as np

from validators.reference import bearings
from validators.reference.value import Value, only_where


def rod_clearance_computed(
    rod_housing_size_vertical: Value,
    rod_wall_upper_used: Value,
    rod_wall_lower_used: Value,
    crankpin_greatest: Value,
) -> Value:
    r"""Vertical oil clearance of a rod bearing from housing, walls and journal.

    .. math:: H - t_u - t_l - J

    Parameters
    ----------
    rod_housing_size_vertical : shape (..., cylinder), [m]
        Rod housing at 20 °C, vertical.
    rod_wall_upper_used : shape (..., cylinder), [m]
        Upper wall used.
    rod_wall_lower_used : shape (..., cylinder), [m]
        Lower wall used.
    crankpin_greatest : shape (..., crankpin), [m]
        Largest.

    Returns
    -------
    rod_clearance_computed : shape (..., cylinder), [m]
        Clearance, computed.

    Notes
    -----
    nan where an input is missing. Crush of the shells is not in it, a few micrometres.

    Source
    ------
    Geometry of the assembled bearing; common practice.

    Examples
    --------
    >>> rod_clearance_computed(64.004, 1.985, 1.985, 59.985)
    0.049
    """
    installed_bore = rod_housing_size_vertical - rod_wall_upper_used - rod_wall_lower_used
    return installed_bore - crankpin_greatest


def rod_clearance_direct(rod_installed_bore_size: Value, crankpin_greatest: Value) -> Value:
    r"""Vertical oil clearance of a rod bearing from the bore of the shells as installed.

    .. math:: D_{installed} - J

    Parameters
    ----------
    rod_installed_bore_size : shape (..., cylinder), [m]
        Installed shell bore at 20 °C.
    crankpin_greatest : shape (..., crankpin), [m]
        Largest.

    Returns
    -------
    rod_clearance_direct : shape (..., cylinder), [m]
        Clearance, measured directly.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> rod_clearance_direct(60.036, 59.985)
    0.051
    """
    return rod_installed_bore_size - crankpin_greatest


def rod_clearance(rod_clearance_direct: Value, rod_clearance_computed: Value) -> Value:
    r"""Oil clearance of a rod bearing: measured directly where it was, else computed.

    .. math:: C = C_{direct} \text{ if there is one, else } C_{computed}

    Parameters
    ----------
    rod_clearance_direct : shape (..., cylinder), [m]
        Clearance, measured directly.
    rod_clearance_computed : shape (..., cylinder), [m]
        Clearance, computed.

    Returns
    -------
    rod_clearance : shape (..., cylinder), [m]
        Oil clearance.

    Notes
    -----
    nan where neither route gives a figure. Zero and below are shown as they are.

    Source
    ------
    Common practice: the bore of the shells as installed has the crush in it.

    Examples
    --------
    >>> float(rod_clearance(np.nan, 0.049)), float(rod_clearance(0.051, 0.049))
    (0.049, 0.051)
    """
    return np.where(np.isnan(rod_clearance_direct), rod_clearance_computed, rod_clearance_direct)


def rod_clearance_closure(rod_clearance_direct: Value, rod_clearance_computed: Value) -> Value:
    r"""Disagreement of the two routes to the clearance of a rod bearing.

    .. math:: C_{direct} - C_{computed}

    Parameters
    ----------
    rod_clearance_direct : shape (..., cylinder), [m]
        Clearance, measured directly.
    rod_clearance_computed : shape (..., cylinder), [m]
        Clearance, computed.

    Returns
    -------
    rod_clearance_closure : shape (..., cylinder), [m]
        Direct minus computed.

    Notes
    -----
    nan where only one route gives a figure.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> rod_clearance_closure(0.051, 0.049)
    0.002
    """
    return rod_clearance_direct - rod_clearance_computed


def rod_closure_state(
    rod_clearance_closure: Value,
    rod_clearance_uncertainty: Value,
    closure_factor: Value,
    shown_length: Value,
) -> Value:
    r"""Whether the two routes to the clearance of a rod bearing agree.

    .. math:: |C_{direct} - C_{computed}| \le k u

    Parameters
    ----------
    rod_clearance_closure : shape (..., cylinder), [m]
        Direct minus computed.
    rod_clearance_uncertainty : shape (...), [m]
        u, rod bearing clearance.
    closure_factor : shape (...), [1]
        Two routes agree within this many standard uncertainties.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    rod_closure_state : shape (..., cylinder), [1]
        The two routes.

    Notes
    -----
    One route only, where the disagreement or its uncertainty is missing.

    Source
    ------
    Three standard uncertainties: common practice, no source.

    Examples
    --------
    >>> [int(rod_closure_state(gap, 1.0e-6, 3.0, 0.001)) for gap in (np.nan, 2.0e-6, -3.1e-6)]
    [0, 1, 2]
    """
    return bearings.closure_state(
        rod_clearance_closure, rod_clearance_uncertainty, closure_factor, shown_length
    )


def rod_clearance_ratio(rod_clearance: Value, crankpin_greatest: Value) -> Value:
    r"""Clearance of a rod bearing per journal diameter.

    .. math:: C / J

    Parameters
    ----------
    rod_clearance : shape (..., cylinder), [m]
        Oil clearance.
    crankpin_greatest : shape (..., crankpin), [m]
        Largest.

    Returns
    -------
    rod_clearance_ratio : shape (..., cylinder), [1]
        Clearance per journal.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Definition, common practice.

    Examples
    --------
    >>> float(rod_clearance_ratio(0.049, 59.985))
    0.0008168708844
    """
    return rod_clearance / only_where(crankpin_greatest > 0, crankpin_greatest)


def rod_length_ratio(rod_bearing_width: Value, crankpin_greatest: Value) -> Value:
    r"""Effective width of a rod bearing over its journal diameter.

    .. math:: L_b / J

    Parameters
    ----------
    rod_bearing_width : shape (...), [m]
        Rod bearing width, effective.
    crankpin_greatest : shape (..., crankpin), [m]
        Largest.

    Returns
    -------
    rod_length_ratio : shape (..., cylinder), [1]
        Length over diameter.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Definition; textbooks on journal bearings (from memory).

    Examples
    --------
    >>> float(rod_length_ratio(19, 51.981))
    0.3655181701
    """
    return rod_bearing_width / only_where(crankpin_greatest > 0, crankpin_greatest)


def rod_clearance_hot(
    rod_housing_size_vertical: Value,
    rod_wall_upper_used: Value,
    rod_wall_lower_used: Value,
    crankpin_greatest: Value,
    body_expansion_rod: Value,
    body_expansion_shell: Value,
    body_expansion_crank: Value,
    bearing_housing_hot: Value,
    bearing_shell_hot: Value,
    bearing_journal_hot: Value,
    reference_temperature: Value,
) -> Value:
    r"""Oil clearance of a rod bearing when its parts are hot.

    .. math:: H (1 + \alpha_h (T_h - T_{ref})) - (t_u + t_l)(1 + \alpha_s (T_s - T_{ref}))
        - J (1 + \alpha_j (T_j - T_{ref}))

    Parameters
    ----------
    rod_housing_size_vertical : shape (..., cylinder), [m]
        Rod housing at 20 °C, vertical.
    rod_wall_upper_used : shape (..., cylinder), [m]
        Upper wall used.
    rod_wall_lower_used : shape (..., cylinder), [m]
        Lower wall used.
    crankpin_greatest : shape (..., crankpin), [m]
        Largest.
    body_expansion_rod : shape (...), [1/K]
        Expansion used, rod.
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
    rod_clearance_hot : shape (..., cylinder), [m]
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
    >>> rod_clearance_hot(*sizes, 11e-6, 11.7e-6, 11.7e-6, *hot, 293.15)
    0.037978905
    """
    return bearings.clearance_when_hot(
        (rod_housing_size_vertical, body_expansion_rod, bearing_housing_hot),
        (rod_wall_upper_used + rod_wall_lower_used, body_expansion_shell, bearing_shell_hot),
        (crankpin_greatest, body_expansion_crank, bearing_journal_hot),
        reference_temperature,
    )
