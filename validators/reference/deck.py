"""Height of the pistons at the deck, as read."""

import numpy as np

from validators.reference.value import Value, only_where
from validators.reference.words import DeckBasis


def deck_reading_used(deck_reading: Value, height_lowest: Value, height_highest: Value) -> Value:
    r"""Height of a crown over the pin axis, where the reading can be right.

    .. math:: h \text{ where } h_{lowest} \le h \le h_{highest}

    Parameters
    ----------
    deck_reading : shape (..., cylinder, point), [m]
        Crown above deck.
    height_lowest : shape (...), [m]
        Crown height reading, lowest believed.
    height_highest : shape (...), [m]
        Crown height reading, highest believed.

    Returns
    -------
    deck_reading_used : shape (..., cylinder, point), [m]
        Height, if believable.

    Notes
    -----
    nan where the reading is missing or cannot be right: it then counts as missing.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> [float(deck_reading_used(height, -0.010, 0.003)) for height in (-0.011, 0.003)]
    [nan, 0.003]
    """
    believed = (deck_reading >= height_lowest) & (deck_reading <= height_highest)
    return only_where(believed, deck_reading)


def rocked_reading_used(
    rocked_reading: Value, height_lowest: Value, height_highest: Value
) -> Value:
    r"""Height of a crown of the rocked piston, where the reading can be right.

    .. math:: h \text{ where } h_{lowest} \le h \le h_{highest}

    Parameters
    ----------
    rocked_reading : shape (..., cylinder, tilt), [m]
        Crown above deck.
    height_lowest : shape (...), [m]
        Crown height reading, lowest believed.
    height_highest : shape (...), [m]
        Crown height reading, highest believed.

    Returns
    -------
    rocked_reading_used : shape (..., cylinder, tilt), [m]
        Height, if believable.

    Notes
    -----
    nan where the reading is missing or cannot be right: it then counts as missing.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> [float(rocked_reading_used(height, -0.010, 0.003)) for height in (-0.011, 0.003)]
    [nan, 0.003]
    """
    believed = (rocked_reading >= height_lowest) & (rocked_reading <= height_highest)
    return only_where(believed, rocked_reading)


def deck_clearance_mean(
    deck_reading_used_front: Value,
    deck_reading_used_rear: Value,
    rocked_reading_used_up: Value,
    rocked_reading_used_down: Value,
) -> Value:
    r"""Deck clearance for the volume: positive where the crown is below the deck.

    .. math:: \delta = -\frac{h_{front} + h_{rear}}{2} \quad \text{else} \quad
        \delta = -\frac{h_{up} + h_{down}}{2}

    Parameters
    ----------
    deck_reading_used_front : shape (..., cylinder), [m]
        Height, if believable, pin axis, front.
    deck_reading_used_rear : shape (..., cylinder), [m]
        Height, if believable, pin axis, rear.
    rocked_reading_used_up : shape (..., cylinder), [m]
        Height, if believable, rocked up.
    rocked_reading_used_down : shape (..., cylinder), [m]
        Height, if believable, rocked down.

    Returns
    -------
    deck_clearance_mean : shape (..., cylinder), [m]
        Deck clearance.

    Notes
    -----
    From the readings over the pin axis; where these are not both there, from a full rocked pair.
    nan where neither pair is complete.

    Source
    ------
    Common practice: over the pin axis the piston does not rise when it rocks.

    Examples
    --------
    >>> float(deck_clearance_mean(-0.28, -0.30, -0.235, np.nan))
    0.29
    >>> float(deck_clearance_mean(-0.28, np.nan, -0.235, -0.330))
    0.2825
    """
    over_pin = -(deck_reading_used_front + deck_reading_used_rear) / 2
    rocked = -(rocked_reading_used_up + rocked_reading_used_down) / 2
    return np.where(np.isnan(over_pin), rocked, over_pin)


def deck_basis(
    deck_clearance_mean: Value, rocked_reading_used_up: Value, rock_rise: Value
) -> Value:
    """Where the rocked figure comes from: a reading, or the rock that clearance and length predict.

    Parameters
    ----------
    deck_clearance_mean : shape (..., cylinder), [m]
        Deck clearance.
    rocked_reading_used_up : shape (..., cylinder), [m]
        Height, if believable, rocked up.
    rock_rise : shape (..., cylinder), [m]
        Crown edge rise, predicted.

    Returns
    -------
    deck_basis : shape (..., cylinder), [1]
        Rocked figure is.

    Notes
    -----
    Waiting, where there is neither, or no deck clearance.

    Source
    ------
    Common practice: a reading wins over a prediction.

    Examples
    --------
    >>> [int(deck_basis(0.29, up, 0.042)) for up in (np.nan, -0.235)]
    [1, 2]
    >>> int(deck_basis(np.nan, -0.235, 0.042))
    0
    """
    return np.select(
        [
            np.isnan(deck_clearance_mean),
            ~np.isnan(rocked_reading_used_up),
            ~np.isnan(rock_rise),
        ],
        [DeckBasis.WAITING, DeckBasis.MEASURED, DeckBasis.PREDICTED],
        DeckBasis.WAITING,
    )


def deck_clearance_least(
    deck_basis: Value,
    deck_clearance_mean: Value,
    rock_rise: Value,
    deck_reading_used_front: Value,
    deck_reading_used_rear: Value,
    rocked_reading_used_up: Value,
    rocked_reading_used_down: Value,
) -> Value:
    r"""Smallest deck clearance, with the piston rocked.

    .. math:: -\max h \text{ where measured}, \qquad \delta - r \text{ where predicted}

    Parameters
    ----------
    deck_basis : shape (..., cylinder), [1]
        Rocked figure is.
    deck_clearance_mean : shape (..., cylinder), [m]
        Deck clearance.
    rock_rise : shape (..., cylinder), [m]
        Crown edge rise, predicted.
    deck_reading_used_front : shape (..., cylinder), [m]
        Height, if believable, pin axis, front.
    deck_reading_used_rear : shape (..., cylinder), [m]
        Height, if believable, pin axis, rear.
    rocked_reading_used_up : shape (..., cylinder), [m]
        Height, if believable, rocked up.
    rocked_reading_used_down : shape (..., cylinder), [m]
        Height, if believable, rocked down.

    Returns
    -------
    deck_clearance_least : shape (..., cylinder), [m]
        Deck clearance, rocked.

    Notes
    -----
    The largest of all height readings that are there counts. nan where the basis is waiting.

    Source
    ------
    Common practice.

    Examples
    --------
    >>> heights = -0.28, -0.30, -0.235, np.nan
    >>> [float(deck_clearance_least(basis, 0.29, 0.042, *heights)) for basis in (0, 1, 2)]
    [nan, 0.248, 0.235]
    """
    highest = deck_reading_used_front
    for height in (deck_reading_used_rear, rocked_reading_used_up, rocked_reading_used_down):
        takes_over = np.isnan(highest) | (height > highest)
        highest = np.where(takes_over, height, highest)
    measured = -highest
    predicted = deck_clearance_mean - rock_rise
    return np.where(
        np.equal(deck_basis, DeckBasis.MEASURED),
        measured,
        np.where(np.equal(deck_basis, DeckBasis.PREDICTED), predicted, np.nan),
    )
