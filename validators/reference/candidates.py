"""Combinations of rod and piston side by side, before any metal is cut."""

import numpy as np

from validators.reference import slider_crank
from validators.reference.value import Value, only_where, rounded_nine
from validators.reference.words import CandidateState

__not_quantities__ = ("standing_rod",)


def standing_rod(candidate_state: Value, candidate_rod_length: Value) -> Value:
    """Rod length of a combination that neither waits nor has a wrong entry, else nan.

    Examples
    --------
    >>> float(standing_rod(CandidateState.COMPLETE, 0.136))
    0.136
    >>> float(standing_rod(CandidateState.CHECK_ENTRY, 0.136))
    nan
    """
    return only_where(candidate_state >= CandidateState.COMPLETE, candidate_rod_length)


def candidate_state(
    stroke_nominal: Value,
    deck_height: Value,
    pin_offset: Value,
    engine_speed: Value,
    candidate_rod_length: Value,
    candidate_compression_height: Value,
    nominal_size_bore: Value,
    rod_ratio_lowest: Value,
    rod_ratio_highest: Value,
    compression_height_share: Value,
    shown_length: Value,
) -> Value:
    r"""State of a combination: can it be computed, can it exist, is it usual.

    .. math:: L > R + |e|, \qquad r_{lowest} \le L / S \le r_{highest},
        \qquad h_c \ge k B

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    deck_height : shape (...), [m]
        Block deck height.
    pin_offset : shape (...), [m]
        Pin or cylinder offset.
    engine_speed : shape (...), [rad/s]
        Highest engine speed.
    candidate_rod_length : shape (..., candidate), [m]
        Rod length.
    candidate_compression_height : shape (..., candidate), [m]
        Compression height.
    nominal_size_bore : shape (...), [m]
        Nominal size, bore.
    rod_ratio_lowest : shape (...), [1]
        Rod ratio, lowest usual.
    rod_ratio_highest : shape (...), [1]
        Rod ratio, highest usual.
    compression_height_share : shape (...), [1]
        Compression height, least usual share of bore.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    candidate_state : shape (..., candidate), [1]
        State.

    Notes
    -----
    Waiting where an entry is missing, except the nominal bore, without which the compression height
    is not judged. A combination whose crank cannot turn right round has a wrong entry.

    Source
    ------
    Plane geometry of the slider-crank; what is usual: common practice, no source.

    Examples
    --------
    >>> engine = (0.081, 0.208, 0.0, 680.7)
    >>> usual = (0.093, 1.2, 2.6, 0.15, 0.001)
    >>> int(candidate_state(*engine, 0.136, 0.0312, *usual))
    2
    >>> int(candidate_state(*engine, 0.040, 0.0312, *usual))
    1
    """
    needed = (
        stroke_nominal,
        deck_height,
        pin_offset,
        engine_speed,
        candidate_rod_length,
        candidate_compression_height,
    )
    waiting = np.isnan(needed[0])
    for entry in needed[1:]:
        waiting = waiting | np.isnan(entry)
    radius = slider_crank.crank_radius(stroke_nominal)
    too_short = candidate_rod_length - (radius + np.abs(pin_offset))
    wrong = (
        (stroke_nominal <= 0) | (engine_speed <= 0) | (rounded_nine(too_short / shown_length) <= 0)
    )
    ratio = candidate_rod_length / only_where(stroke_nominal > 0, stroke_nominal)
    low_piston = candidate_compression_height - compression_height_share * nominal_size_bore
    unusual = (
        (rounded_nine(ratio - rod_ratio_lowest) < 0)
        | (rounded_nine(ratio - rod_ratio_highest) > 0)
        | (rounded_nine(low_piston / shown_length) < 0)
    )
    return np.where(
        waiting,
        CandidateState.WAITING,
        np.where(
            wrong,
            CandidateState.CHECK_ENTRY,
            np.where(unusual, CandidateState.UNUSUAL, CandidateState.COMPLETE),
        ),
    )


def candidate_stack_height(
    stroke_nominal: Value,
    candidate_rod_length: Value,
    candidate_compression_height: Value,
    candidate_state: Value,
) -> Value:
    r"""Crank radius, rod length and compression height, end to end.

    .. math:: R + L + h_c

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    candidate_rod_length : shape (..., candidate), [m]
        Rod length.
    candidate_compression_height : shape (..., candidate), [m]
        Compression height.
    candidate_state : shape (..., candidate), [1]
        State.

    Returns
    -------
    candidate_stack_height : shape (..., candidate), [m]
        Stack height.

    Notes
    -----
    nan where the combination waits or has a wrong entry.

    Source
    ------
    Definition, common practice.

    Examples
    --------
    >>> float(candidate_stack_height(0.081, 0.136, 0.0312, 2))
    0.2077
    """
    rod = standing_rod(candidate_state, candidate_rod_length)
    return slider_crank.crank_radius(stroke_nominal) + rod + candidate_compression_height


def candidate_deck_clearance(
    deck_height: Value, candidate_stack_height: Value, candidate_top_loss: Value
) -> Value:
    r"""Nominal deck clearance: positive where the crown stops below the deck.

    .. math:: H - (R + L + h_c) + \Delta_{top}

    Parameters
    ----------
    deck_height : shape (...), [m]
        Block deck height.
    candidate_stack_height : shape (..., candidate), [m]
        Stack height.
    candidate_top_loss : shape (..., candidate), [m]
        Height lost by the offset.

    Returns
    -------
    candidate_deck_clearance : shape (..., candidate), [m]
        Deck clearance, nominal.

    Notes
    -----
    nan where the combination waits or has a wrong entry. A protruding crown is a negative
    clearance.

    Source
    ------
    Definition, common practice.

    Examples
    --------
    >>> float(candidate_deck_clearance(0.208, 0.2077, 0.0)) * 1e3
    0.3
    """
    return deck_height - candidate_stack_height + candidate_top_loss


def candidate_rod_ratio(
    stroke_nominal: Value, candidate_rod_length: Value, candidate_state: Value
) -> Value:
    r"""Rod length over stroke.

    .. math:: L / S

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    candidate_rod_length : shape (..., candidate), [m]
        Rod length.
    candidate_state : shape (..., candidate), [1]
        State.

    Returns
    -------
    candidate_rod_ratio : shape (..., candidate), [1]
        Rod-to-stroke ratio.

    Notes
    -----
    nan where the combination waits or has a wrong entry. Published ratios are sometimes other
    quotients of the same lengths.

    Source
    ------
    Definition, common practice.

    Examples
    --------
    >>> float(candidate_rod_ratio(0.081, 0.136, 2))
    1.679012346
    """
    rod = standing_rod(candidate_state, candidate_rod_length)
    return rod / stroke_nominal


def candidate_crank_ratio(
    stroke_nominal: Value, candidate_rod_length: Value, candidate_state: Value
) -> Value:
    r"""Crank radius over rod length.

    .. math:: \lambda = R / L

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    candidate_rod_length : shape (..., candidate), [m]
        Rod length.
    candidate_state : shape (..., candidate), [1]
        State.

    Returns
    -------
    candidate_crank_ratio : shape (..., candidate), [1]
        Crank radius over rod length.

    Notes
    -----
    nan where the combination waits or has a wrong entry.

    Source
    ------
    Definition; textbooks on engine dynamics (from memory).

    Examples
    --------
    >>> float(candidate_crank_ratio(0.081, 0.136, 2))
    0.2977941176
    """
    rod = standing_rod(candidate_state, candidate_rod_length)
    return slider_crank.crank_radius(stroke_nominal) / rod


def candidate_rod_angle(
    stroke_nominal: Value, candidate_rod_length: Value, pin_offset: Value, candidate_state: Value
) -> Value:
    r"""Largest angle between rod and cylinder axis over a turn.

    .. math:: \beta_{max} = \arcsin\frac{R + |e|}{L}

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    candidate_rod_length : shape (..., candidate), [m]
        Rod length.
    pin_offset : shape (...), [m]
        Pin or cylinder offset.
    candidate_state : shape (..., candidate), [1]
        State.

    Returns
    -------
    candidate_rod_angle : shape (..., candidate), [rad]
        Largest rod angle.

    Notes
    -----
    nan where the combination waits or has a wrong entry.

    Source
    ------
    Plane geometry of the slider-crank.

    Examples
    --------
    >>> float(np.degrees(candidate_rod_angle(0.081, 0.136, 0.0008, 2)))
    17.67855492
    """
    rod = standing_rod(candidate_state, candidate_rod_length)
    return slider_crank.largest_rod_angle(
        slider_crank.crank_radius(stroke_nominal), rod, pin_offset
    )
