"""What else to order from the machine shop: deck cut, ports, chamber volume."""

import numpy as np

from validators.reference.value import Value, only_where, rounded_nine
from validators.reference.words import CutState, ReachState


def deck_cut(
    deck_clearance_nominal: Value, deck_clearance_wanted: Value, shown_length: Value
) -> Value:
    r"""Metal to cut from the deck for the wanted deck clearance.

    .. math:: \delta_{now} - \delta_{wanted}

    Parameters
    ----------
    deck_clearance_nominal : shape (...), [m]
        Deck clearance, chosen, nominal.
    deck_clearance_wanted : shape (...), [m]
        Deck clearance wanted.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    deck_cut : shape (...), [m]
        Deck cut for the wanted clearance.

    Notes
    -----
    nan where an input is missing, or where metal would have to be added.

    Source
    ------
    Subtraction; common practice.

    Examples
    --------
    >>> float(deck_cut(0.00042, 0.00005, 0.001)) * 1e3
    0.37
    >>> float(deck_cut(0.00002, 0.00020, 0.001))
    nan
    """
    cut = deck_clearance_nominal - deck_clearance_wanted
    return only_where(rounded_nine(cut / shown_length) >= 0, cut)


def deck_cut_state(
    deck_clearance_nominal: Value, deck_clearance_wanted: Value, shown_length: Value
) -> Value:
    r"""Whether a deck cut gives the wanted deck clearance.

    .. math:: \delta_{now} - \delta_{wanted} \ge 0

    Parameters
    ----------
    deck_clearance_nominal : shape (...), [m]
        Deck clearance, chosen, nominal.
    deck_clearance_wanted : shape (...), [m]
        Deck clearance wanted.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    deck_cut_state : shape (...), [1]
        Deck cut.

    Notes
    -----
    Waiting where an input is missing.

    Source
    ------
    Metal cannot be added.

    Examples
    --------
    >>> [int(deck_cut_state(now, 0.0002, 0.001)) for now in (np.nan, 0.00002, 0.0002)]
    [0, 1, 2]
    """
    cut = deck_clearance_nominal - deck_clearance_wanted
    return np.select(
        [np.isnan(cut), rounded_nine(cut / shown_length) < 0],
        [CutState.WAITING, CutState.NOT_POSSIBLE],
        CutState.CUT,
    )


def port_gap_change(deck_cut: Value, flange_angle: Value) -> Value:
    r"""Way by which a deck cut closes the gap at a side flange.

    .. math:: t \cos\varphi

    Parameters
    ----------
    deck_cut : shape (...), [m]
        Deck cut for the wanted clearance.
    flange_angle : shape (...), [rad]
        Between the normal of the flange and the cylinder axis.

    Returns
    -------
    port_gap_change : shape (...), [m]
        Flange gap closes by.

    Notes
    -----
    nan where an input is missing or there is no cut.

    Source
    ------
    The cut is a vector along the cylinder axis; this is its part along the flange normal.

    Examples
    --------
    >>> float(port_gap_change(0.00025, np.radians(40))) * 1e3
    0.1915111108
    """
    return deck_cut * np.cos(flange_angle)


def port_slip(deck_cut: Value, flange_angle: Value) -> Value:
    r"""Way by which a deck cut slides the ports of a side flange past each other.

    .. math:: t \sin\varphi

    Parameters
    ----------
    deck_cut : shape (...), [m]
        Deck cut for the wanted clearance.
    flange_angle : shape (...), [rad]
        Between the normal of the flange and the cylinder axis.

    Returns
    -------
    port_slip : shape (...), [m]
        Ports slide by.

    Notes
    -----
    nan where an input is missing or there is no cut.

    Source
    ------
    The cut is a vector along the cylinder axis; this is its part along the flange.

    Examples
    --------
    >>> float(port_slip(0.00025, np.radians(40))) * 1e3
    0.1606969024
    """
    return deck_cut * np.sin(flange_angle)


def chamber_ordered(wanted_clearance_volume: Value, other_volume: Value) -> Value:
    r"""Chamber volume that gives the wanted compression ratio.

    .. math:: V_{ch} = \frac{V_s}{\varepsilon - 1} - (V_g + V_d + V_p + V_{cr})

    Parameters
    ----------
    wanted_clearance_volume : shape (..., cylinder), [m^3]
        Clearance volume for the wanted ratio.
    other_volume : shape (..., cylinder), [m^3]
        Clearance volume without chamber.

    Returns
    -------
    chamber_ordered : shape (..., cylinder), [m^3]
        Chamber volume for the wanted ratio.

    Notes
    -----
    nan where an input is missing, or where no chamber is small enough.

    Source
    ------
    Definition of the compression ratio, solved for the chamber.

    Examples
    --------
    >>> float(chamber_ordered(550.2256059e-6 / 9.5, 5.79e-6)) * 1e6
    52.12848484
    """
    chamber = wanted_clearance_volume - other_volume
    return only_where(chamber > 0, chamber)


def chamber_state(wanted_clearance_volume: Value, other_volume: Value) -> Value:
    r"""Whether a chamber can give the wanted compression ratio.

    .. math:: \frac{V_s}{\varepsilon - 1} - (V_g + V_d + V_p + V_{cr}) > 0

    Parameters
    ----------
    wanted_clearance_volume : shape (..., cylinder), [m^3]
        Clearance volume for the wanted ratio.
    other_volume : shape (..., cylinder), [m^3]
        Clearance volume without chamber.

    Returns
    -------
    chamber_state : shape (..., cylinder), [1]
        Wanted ratio with this chamber.

    Notes
    -----
    Waiting where an input is missing.

    Source
    ------
    A volume is never negative.

    Examples
    --------
    >>> [int(chamber_state(wanted, 30e-6)) for wanted in (np.nan, 28.9e-6, 58e-6)]
    [0, 1, 2]
    """
    chamber = wanted_clearance_volume - other_volume
    return np.select(
        [np.isnan(chamber), chamber <= 0],
        [ReachState.WAITING, ReachState.CANNOT_BE_REACHED],
        ReachState.CAN_BE_REACHED,
    )
