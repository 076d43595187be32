"""Figures behind the charts: of the summary, of the bores, of the combinations."""

import numpy as np

from validators.reference.value import Value, only_where

__not_quantities__ = ("place_between",)


def place_between(
    clearance: Value,
    lower: Value,
    upper: Value,
    least: Value,
    most: Value,
    room: Value,
    away: Value,
    shown_length: Value,
) -> Value:
    r"""Place of a figure between two limits: nought at the lower one, one at the upper.

    Parameters
    ----------
    clearance, lower, upper : shapes that broadcast, [m]
    least, most, room, away : shape (...), [1]
        Edges of the frame, how far apart limits must be in the shown unit, and what is outside the frame.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    place_between : the broadcast shape, [1]
        `away` where a figure is missing, or the limits are too near.

    Examples
    --------
    >>> [float(place_between(c, 0.04, 0.06, -0.4, 1.4, 2e-6, 9.0, 1.0)) for c in (0.045, 0.08, np.nan)]
    [0.25, 1.4, 9.0]
    """
    apart = upper - lower
    far_enough = apart / shown_length >= room
    place = (clearance - lower) / only_where(far_enough, apart)
    inside = np.minimum(np.maximum(place, least), most)
    return np.where(np.isnan(place), away, inside)


def place_piston(
    piston_clearance: Value,
    piston_clearance_lower: Value,
    piston_clearance_upper: Value,
    place_least: Value,
    place_most: Value,
    place_apart: Value,
    dial_away: Value,
    shown_length: Value,
) -> Value:
    r"""Place of a clearance between its limits, as the chart draws it.

    .. math:: \frac{C - C_{lo}}{C_{hi} - C_{lo}} \text{, kept inside the frame}

    Parameters
    ----------
    piston_clearance : shape (..., cylinder), [m]
    piston_clearance_lower : shape (...), [m]
    piston_clearance_upper : shape (...), [m]
    place_least : shape (...), [1]
    place_most : shape (...), [1]
    place_apart : shape (...), [1]
    dial_away : shape (...), [1]
        Outside the frame.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    place_piston : shape (..., cylinder), [1]

    Notes
    -----
    Never nan: what is not known, or has not two limits, is placed outside the frame.

    Source
    ------
    Straight line between the limits.
    """
    return place_between(
        piston_clearance, piston_clearance_lower, piston_clearance_upper, place_least, place_most,
        place_apart, dial_away, shown_length,
    )


def place_main(
    main_clearance: Value,
    main_clearance_lower: Value,
    main_clearance_upper: Value,
    place_least: Value,
    place_most: Value,
    place_apart: Value,
    dial_away: Value,
    shown_length: Value,
) -> Value:
    r"""Place of a clearance between its limits, as the chart draws it.

    .. math:: \frac{C - C_{lo}}{C_{hi} - C_{lo}} \text{, kept inside the frame}

    Parameters
    ----------
    main_clearance : shape (..., main), [m]
    main_clearance_lower : shape (...), [m]
    main_clearance_upper : shape (...), [m]
    place_least : shape (...), [1]
    place_most : shape (...), [1]
    place_apart : shape (...), [1]
    dial_away : shape (...), [1]
        Outside the frame.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    place_main : shape (..., main), [1]

    Notes
    -----
    Never nan: what is not known, or has not two limits, is placed outside the frame.

    Source
    ------
    Straight line between the limits.
    """
    return place_between(
        main_clearance, main_clearance_lower, main_clearance_upper, place_least, place_most,
        place_apart, dial_away, shown_length,
    )


def place_rod(
    rod_clearance: Value,
    rod_clearance_lower: Value,
    rod_clearance_upper: Value,
    place_least: Value,
    place_most: Value,
    place_apart: Value,
    dial_away: Value,
    shown_length: Value,
) -> Value:
    r"""Place of a clearance between its limits, as the chart draws it.

    .. math:: \frac{C - C_{lo}}{C_{hi} - C_{lo}} \text{, kept inside the frame}

    Parameters
    ----------
    rod_clearance : shape (..., cylinder), [m]
    rod_clearance_lower : shape (...), [m]
    rod_clearance_upper : shape (...), [m]
    place_least : shape (...), [1]
    place_most : shape (...), [1]
    place_apart : shape (...), [1]
    dial_away : shape (...), [1]
        Outside the frame.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    place_rod : shape (..., cylinder), [1]

    Notes
    -----
    Never nan: what is not known, or has not two limits, is placed outside the frame.

    Source
    ------
    Straight line between the limits.
    """
    return place_between(
        rod_clearance, rod_clearance_lower, rod_clearance_upper, place_least, place_most,
        place_apart, dial_away, shown_length,
    )


def crown_highest(deck_clearance_least: Value) -> Value:
    r"""How far a piston stands above its deck when it is rocked.

    .. math:: -\delta_{least}

    Parameters
    ----------
    deck_clearance_least : shape (..., cylinder), [m]

    Returns
    -------
    crown_highest : shape (..., cylinder), [m]

    Notes
    -----
    nan where the clearance is missing; negative where the whole crown stays below the deck.

    Source
    ------
    Sign convention: a deck clearance is positive below the deck.

    Examples
    --------
    >>> crown_highest(-0.0001)
    0.0001
    """
    return -deck_clearance_least


def gasket_here(gasket_chosen: Value) -> Value:
    r"""Thickness of the gasket that is chosen for this cylinder's bank.

    .. math:: t_g

    Parameters
    ----------
    gasket_chosen : shape (..., bank), [m]
        That of each cylinder's bank arrives.

    Returns
    -------
    gasket_here : shape (..., cylinder), [m]

    Notes
    -----
    nan where none is chosen.

    Source
    ------
    The same figure again.

    Examples
    --------
    >>> gasket_here(0.0012)
    0.0012
    """
    return gasket_chosen


def ratio_from_mean(compression_ratio: Value) -> Value:
    r"""How far the ratio of a cylinder is from the mean of all.

    .. math:: \varepsilon_i - \bar\varepsilon

    Parameters
    ----------
    compression_ratio : shape (..., cylinder), [1]

    Returns
    -------
    ratio_from_mean : shape (..., cylinder), [1]

    Notes
    -----
    nan unless the ratio of every cylinder is known.

    Source
    ------
    Arithmetic mean.

    Examples
    --------
    >>> ratio_from_mean(np.array([10.0, 10.5, 10.1])).round(4).tolist()
    [-0.2, 0.3, -0.1]
    """
    return compression_ratio - np.mean(compression_ratio, axis=-1, keepdims=True)


def profile_across(
    bore_size: Value,
    bore_mean: Value,
    cylinder_number: Value,
    profile_span: Value,
    profile_reach: Value,
    dial_away: Value,
) -> Value:
    r"""Where a diameter of a bore is drawn: about the number of its cylinder.

    .. math:: i + \frac{D - \bar D}{D_{span}} \text{, kept between } i - r \text{ and } i + r

    Parameters
    ----------
    bore_size : shape (..., cylinder, depth, axis), [m]
    bore_mean : shape (..., cylinder), [m]
    cylinder_number : shape (..., cylinder), [1]
    profile_span : shape (...), [m]
        Diameter from one cylinder to the next.
    profile_reach, dial_away : shape (...), [1]
        Edge of a cylinder, and how far before nought that stands which is not known.

    Returns
    -------
    profile_across : shape (..., cylinder, depth, axis), [1]

    Notes
    -----
    All of a cylinder is away until its mean is known, so that no line runs out of the frame.

    Source
    ------
    A drawing of this workbook.

    Examples
    --------
    >>> [float(profile_across(d, 0.086, 3.0, 1e-4, 0.45, 9.0)) for d in (0.08602, 0.0861, np.nan)]
    [3.2, 3.45, -9.0]
    """
    off = (bore_size - bore_mean) / profile_span
    inside = np.minimum(np.maximum(off, -profile_reach), profile_reach)
    return np.where(np.isnan(off), -dial_away, cylinder_number + inside)
