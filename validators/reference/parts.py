"""The engine as it is planned, and the combination of parts that was chosen for it."""

import numpy as np

from validators.reference.value import Value, only_where, picked
from validators.reference.words import CandidateState


def _of_chosen(chosen_candidate: Value, value: Value) -> Value:
    """Value of the chosen combination; combinations run along the last axis."""
    return picked(np.arange(value.shape[-1]) == chosen_candidate, value)


def swept_volume_nominal(nominal_size_bore: Value, stroke_nominal: Value) -> Value:
    r"""Volume swept by one piston in one stroke, from nominal bore and stroke.

    .. math:: V_s = \frac{\pi}{4} B^2 S

    Parameters
    ----------
    nominal_size_bore : shape (...), [m]
        Nominal size, bore.
    stroke_nominal : shape (...), [m]
        Stroke.

    Returns
    -------
    swept_volume_nominal : shape (...), [m^3]
        Swept volume, nominal.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Geometry of the cylinder; the word from ISO 2710-1 (from memory).

    Examples
    --------
    >>> swept_volume_nominal(0.093, 0.081) * 1e6
    550.2256059
    """
    return np.pi / 4 * nominal_size_bore**2 * stroke_nominal


def displacement_total(layout_cylinders: Value, swept_volume_nominal: Value) -> Value:
    r"""Swept volume of all cylinders together.

    .. math:: V = n V_s

    Parameters
    ----------
    layout_cylinders : shape (...), [1]
        Cylinders.
    swept_volume_nominal : shape (...), [m^3]
        Swept volume, nominal.

    Returns
    -------
    displacement_total : shape (...), [m^3]
        Displacement, all cylinders.

    Notes
    -----
    nan where the swept volume is missing.

    Source
    ------
    Definition; the word from ISO 2710-1 (from memory).

    Examples
    --------
    >>> displacement_total(4, 550.2256059e-6) * 1e6
    2200.902424
    """
    return layout_cylinders * swept_volume_nominal


def engine_angular_speed(engine_speed: Value) -> Value:
    r"""Speed of the crank as an angle in unit time.

    .. math:: \omega = 2 \pi n

    Parameters
    ----------
    engine_speed : shape (...), [rad/s]
        Highest engine speed.

    Returns
    -------
    engine_angular_speed : shape (...), [rad/s]
        Crank speed as an angle.

    Notes
    -----
    nan where the speed is missing. The speed already arrives as an angle in unit time: revolutions
    are a matter of how it is shown.

    Source
    ------
    Definition.

    Examples
    --------
    >>> engine_angular_speed(680.6784083)
    680.6784083
    """
    return engine_speed


def piston_speed_mean(stroke_nominal: Value, engine_speed: Value) -> Value:
    r"""Mean piston speed: two strokes in every turn.

    .. math:: v_m = \frac{2 S \omega}{2 \pi} = \frac{S \omega}{\pi}

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    engine_speed : shape (...), [rad/s]
        Highest engine speed.

    Returns
    -------
    piston_speed_mean : shape (...), [m/s]
        Mean piston speed.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Definition; the word from ISO 2710-1 (from memory). For road use 16 to 18 m/s, for racing 25 m/s
    and above: common practice, no source.

    Examples
    --------
    >>> piston_speed_mean(0.086, 680.6784083)
    18.63333333
    """
    return stroke_nominal * engine_speed / np.pi


def chosen_number(chosen_candidate: Value) -> Value:
    """Place of the chosen combination in the list, counted from 1.

    Parameters
    ----------
    chosen_candidate : shape (...), [1]
        Combination chosen.

    Returns
    -------
    chosen_number : shape (...), [1]
        Combination chosen, number.

    Notes
    -----
    nan where none is chosen.

    Source
    ------
    A count, no equation.

    Examples
    --------
    >>> chosen_number(1)
    2
    """
    return chosen_candidate + 1


def rod_length(
    chosen_candidate: Value, candidate_rod_length: Value, candidate_state: Value
) -> Value:
    """Rod length of the chosen combination.

    Parameters
    ----------
    chosen_candidate : shape (...), [1]
        Combination chosen.
    candidate_rod_length : shape (..., candidate), [m]
        Rod length.
    candidate_state : shape (..., candidate), [1]
        State.

    Returns
    -------
    rod_length : shape (...), [m]
        Rod length, chosen.

    Notes
    -----
    nan where no combination is chosen, or the chosen one waits or has a wrong entry.

    Source
    ------
    A choice, no equation.

    Examples
    --------
    >>> rods = np.array([0.132, 0.136, 0.139, np.nan])
    >>> float(rod_length(1, rods, np.array([2, 2, 3, 0])))
    0.136
    """
    stands = candidate_state >= CandidateState.COMPLETE
    return _of_chosen(chosen_candidate, only_where(stands, candidate_rod_length))


def compression_height(
    chosen_candidate: Value, candidate_compression_height: Value, candidate_state: Value
) -> Value:
    """Compression height of the chosen combination.

    Parameters
    ----------
    chosen_candidate : shape (...), [1]
        Combination chosen.
    candidate_compression_height : shape (..., candidate), [m]
        Compression height.
    candidate_state : shape (..., candidate), [1]
        State.

    Returns
    -------
    compression_height : shape (...), [m]
        Compression height, chosen.

    Notes
    -----
    nan where no combination is chosen, or the chosen one waits or has a wrong entry.

    Source
    ------
    A choice, no equation; the word from ISO 7967-2 (from memory).

    Examples
    --------
    >>> heights = np.array([0.0352, 0.0312, 0.0282, np.nan])
    >>> float(compression_height(2, heights, np.array([2, 2, 3, 0])))
    0.0282
    """
    stands = candidate_state >= CandidateState.COMPLETE
    return _of_chosen(chosen_candidate, only_where(stands, candidate_compression_height))


def reciprocating_mass(chosen_candidate: Value, candidate_reciprocating_mass: Value) -> Value:
    """Reciprocating mass of the chosen combination, as typed.

    Parameters
    ----------
    chosen_candidate : shape (...), [1]
        Combination chosen.
    candidate_reciprocating_mass : shape (..., candidate), [kg]
        Reciprocating mass.

    Returns
    -------
    reciprocating_mass : shape (...), [kg]
        Reciprocating mass, chosen.

    Notes
    -----
    nan where no combination is chosen, or its mass is missing.

    Source
    ------
    A choice, no equation.

    Examples
    --------
    >>> float(reciprocating_mass(0, np.array([0.545, 0.520, 0.500, 0.485])))
    0.545
    """
    return _of_chosen(chosen_candidate, candidate_reciprocating_mass)


def top_loss(chosen_candidate: Value, candidate_top_loss: Value) -> Value:
    """Height that the chosen combination loses by its offset.

    Parameters
    ----------
    chosen_candidate : shape (...), [1]
        Combination chosen.
    candidate_top_loss : shape (..., candidate), [m]
        Height lost by the offset.

    Returns
    -------
    top_loss : shape (...), [m]
        Height lost by the offset, chosen.

    Notes
    -----
    nan where no combination is chosen, or the chosen one waits or has a wrong entry.

    Source
    ------
    A choice, no equation.

    Examples
    --------
    >>> float(top_loss(0, np.array([1.8e-6, 1.7e-6, np.nan, np.nan]))) * 1e6
    1.8
    """
    return _of_chosen(chosen_candidate, candidate_top_loss)


def deck_clearance_nominal(chosen_candidate: Value, candidate_deck_clearance: Value) -> Value:
    """Nominal deck clearance of the chosen combination.

    Parameters
    ----------
    chosen_candidate : shape (...), [1]
        Combination chosen.
    candidate_deck_clearance : shape (..., candidate), [m]
        Deck clearance, nominal.

    Returns
    -------
    deck_clearance_nominal : shape (...), [m]
        Deck clearance, chosen, nominal.

    Notes
    -----
    nan where no combination is chosen, or the chosen one waits or has a wrong entry.

    Source
    ------
    A choice, no equation.

    Examples
    --------
    >>> float(deck_clearance_nominal(1, np.array([0.0003, 0.0002, np.nan, np.nan])))
    0.0002
    """
    return _of_chosen(chosen_candidate, candidate_deck_clearance)


def peak_acceleration(chosen_candidate: Value, candidate_peak_acceleration: Value) -> Value:
    """Piston acceleration of the chosen combination at true top dead centre.

    Parameters
    ----------
    chosen_candidate : shape (...), [1]
        Combination chosen.
    candidate_peak_acceleration : shape (..., candidate), [m/s^2]
        Piston acceleration at true top.

    Returns
    -------
    peak_acceleration : shape (...), [m/s^2]
        Acceleration at true top, chosen.

    Notes
    -----
    nan where no combination is chosen, or the chosen one waits or has a wrong entry.

    Source
    ------
    A choice, no equation.

    Examples
    --------
    >>> float(peak_acceleration(3, np.array([24521.9, 24352.6, 24232.0, 24135.4])))
    24135.4
    """
    return _of_chosen(chosen_candidate, candidate_peak_acceleration)
