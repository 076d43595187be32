"""Deck of a bank from its four corners: tilt, twist, height at a cylinder."""

import numpy as np

from validators.reference.value import Value


def deck_tilt_length(
    deck_corner_fl: Value, deck_corner_fr: Value, deck_corner_rl: Value, deck_corner_rr: Value
) -> Value:
    r"""How much higher the deck is at the rear than at the front.

    .. math:: \frac{h_{RL} + h_{RR} - h_{FL} - h_{FR}}{2}

    Parameters
    ----------
    deck_corner_fl : shape (..., bank), [m]
        Deck height at corner, front left.
    deck_corner_fr : shape (..., bank), [m]
        Deck height at corner, front right.
    deck_corner_rl : shape (..., bank), [m]
        Deck height at corner, rear left.
    deck_corner_rr : shape (..., bank), [m]
        Deck height at corner, rear right.

    Returns
    -------
    deck_tilt_length : shape (..., bank), [m]
        Rear higher than front by.

    Notes
    -----
    nan unless all four corners are there.

    Source
    ------
    Difference of the mean heights of two edges.

    Examples
    --------
    >>> float(deck_tilt_length(208.02, 207.99, 207.97, 208.00))
    -0.02
    """
    return (deck_corner_rl + deck_corner_rr - deck_corner_fl - deck_corner_fr) / 2


def deck_tilt_side(
    deck_corner_fl: Value, deck_corner_fr: Value, deck_corner_rl: Value, deck_corner_rr: Value
) -> Value:
    r"""How much higher the deck is on the right than on the left.

    .. math:: \frac{h_{FR} + h_{RR} - h_{FL} - h_{RL}}{2}

    Parameters
    ----------
    deck_corner_fl : shape (..., bank), [m]
        Deck height at corner, front left.
    deck_corner_fr : shape (..., bank), [m]
        Deck height at corner, front right.
    deck_corner_rl : shape (..., bank), [m]
        Deck height at corner, rear left.
    deck_corner_rr : shape (..., bank), [m]
        Deck height at corner, rear right.

    Returns
    -------
    deck_tilt_side : shape (..., bank), [m]
        Right higher than left by.

    Notes
    -----
    nan unless all four corners are there.

    Source
    ------
    Difference of the mean heights of two edges.

    Examples
    --------
    >>> float(deck_tilt_side(208.02, 207.99, 207.97, 208.00))
    0.00
    """
    return (deck_corner_fr + deck_corner_rr - deck_corner_fl - deck_corner_rl) / 2


def deck_corner_mean(
    deck_corner_fl: Value, deck_corner_fr: Value, deck_corner_rl: Value, deck_corner_rr: Value
) -> Value:
    r"""Mean deck height of the four corners.

    .. math:: \frac{h_{FL} + h_{FR} + h_{RL} + h_{RR}}{4}

    Parameters
    ----------
    deck_corner_fl : shape (..., bank), [m]
        Deck height at corner, front left.
    deck_corner_fr : shape (..., bank), [m]
        Deck height at corner, front right.
    deck_corner_rl : shape (..., bank), [m]
        Deck height at corner, rear left.
    deck_corner_rr : shape (..., bank), [m]
        Deck height at corner, rear right.

    Returns
    -------
    deck_corner_mean : shape (..., bank), [m]
        Deck height, mean of corners.

    Notes
    -----
    nan unless all four corners are there.

    Source
    ------
    Definition.

    Examples
    --------
    >>> float(deck_corner_mean(208.02, 207.99, 207.97, 208.00))
    207.995
    """
    return (deck_corner_fl + deck_corner_fr + deck_corner_rl + deck_corner_rr) / 4


def deck_corner_spread(
    deck_corner_fl: Value, deck_corner_fr: Value, deck_corner_rl: Value, deck_corner_rr: Value
) -> Value:
    r"""Difference between the highest and the lowest corner.

    .. math:: \max h - \min h

    Parameters
    ----------
    deck_corner_fl : shape (..., bank), [m]
        Deck height at corner, front left.
    deck_corner_fr : shape (..., bank), [m]
        Deck height at corner, front right.
    deck_corner_rl : shape (..., bank), [m]
        Deck height at corner, rear left.
    deck_corner_rr : shape (..., bank), [m]
        Deck height at corner, rear right.

    Returns
    -------
    deck_corner_spread : shape (..., bank), [m]
        Deck height, spread of corners.

    Notes
    -----
    nan unless all four corners are there.

    Source
    ------
    Definition.

    Examples
    --------
    >>> float(deck_corner_spread(208.02, 207.99, 207.97, 208.00))
    0.05
    """
    highest = np.maximum(
        np.maximum(deck_corner_fl, deck_corner_fr), np.maximum(deck_corner_rl, deck_corner_rr)
    )
    lowest = np.minimum(
        np.minimum(deck_corner_fl, deck_corner_fr), np.minimum(deck_corner_rl, deck_corner_rr)
    )
    return highest - lowest


def deck_twist(
    deck_corner_fl: Value, deck_corner_fr: Value, deck_corner_rl: Value, deck_corner_rr: Value
) -> Value:
    r"""Twist of the deck: the least zone between two parallel planes that holds the four corners.

    .. math:: \frac{|h_{FL} + h_{RR} - h_{FR} - h_{RL}|}{2}

    Parameters
    ----------
    deck_corner_fl : shape (..., bank), [m]
        Deck height at corner, front left.
    deck_corner_fr : shape (..., bank), [m]
        Deck height at corner, front right.
    deck_corner_rl : shape (..., bank), [m]
        Deck height at corner, rear left.
    deck_corner_rr : shape (..., bank), [m]
        Deck height at corner, rear right.

    Returns
    -------
    deck_twist : shape (..., bank), [m]
        Twist of the four corners.

    Notes
    -----
    nan unless all four corners are there.

    Source
    ------
    Least zone of four corners of a rectangle. The best plane misses each by half of it.

    Examples
    --------
    >>> float(deck_twist(208.02, 207.99, 207.97, 208.00))
    0.03
    """
    return np.abs(deck_corner_fl + deck_corner_rr - deck_corner_fr - deck_corner_rl) / 2


def deck_height_at(
    deck_along: Value,
    deck_across: Value,
    deck_corner_fl: Value,
    deck_corner_fr: Value,
    deck_corner_rl: Value,
    deck_corner_rr: Value,
) -> Value:
    r"""Deck height at a cylinder, between the corners of its bank.

    .. math:: (1-u)(1-v) h_{FL} + (1-u) v h_{FR} + u (1-v) h_{RL} + u v h_{RR}

    Parameters
    ----------
    deck_along : shape (..., cylinder), [1]
        Place along the deck (0 front, 1 rear).
    deck_across : shape (...), [1]
        Place across the deck (0 left, 1 right).
    deck_corner_fl : shape (..., bank), [m]
        Deck height at corner, front left.
    deck_corner_fr : shape (..., bank), [m]
        Deck height at corner, front right.
    deck_corner_rl : shape (..., bank), [m]
        Deck height at corner, rear left.
    deck_corner_rr : shape (..., bank), [m]
        Deck height at corner, rear right.

    Returns
    -------
    deck_height_at : shape (..., cylinder), [m]
        Deck height at the cylinder.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Bilinear interpolation.

    Examples
    --------
    >>> deck_height_at(0.25, 0.5, 208.02, 207.99, 207.97, 208.00)
    208.0
    """
    u, v = deck_along, deck_across
    return (
        (1 - u) * (1 - v) * deck_corner_fl
        + (1 - u) * v * deck_corner_fr
        + u * (1 - v) * deck_corner_rl
        + u * v * deck_corner_rr
    )
