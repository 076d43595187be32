"""How long the piston of each combination dwells near its dead centres."""

import numpy as np

from validators.reference import slider_crank
from validators.reference.candidates import standing_rod
from validators.reference.value import Value, only_where


def candidate_dwell_top_cosine(
    dwell_distance: Value,
    stroke_nominal: Value,
    candidate_rod_length: Value,
    pin_offset: Value,
    candidate_state: Value,
) -> Value:
    r"""Cosine of half the crank angle that is spent near true top dead centre.

    .. math:: c = \frac{R^2 + p^2 + e^2 - L^2}{2 R \sqrt{p^2 + e^2}},
        \qquad p = \sqrt{(L + R)^2 - e^2} - x

    Parameters
    ----------
    dwell_distance : shape (...), [m]
        Dwell counted within.
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
    candidate_dwell_top_cosine : shape (..., candidate), [1]
        Cosine of half the dwell at top.

    Notes
    -----
    nan where the distance is missing, not above 0 or not below the stroke, or the combination waits
    or has a wrong entry. The angle counts from the line from the crank centre to the piston pin.

    Source
    ------
    Cosine rule in the triangle of crank centre, crankpin and piston pin; exact for any offset.

    Examples
    --------
    >>> float(candidate_dwell_top_cosine(0.001, 0.086, 0.143, 0.0008, 2))
    0.98208690480
    """
    rod = standing_rod(candidate_state, candidate_rod_length)
    radius = slider_crank.crank_radius(stroke_nominal)
    return slider_crank.top_dwell_cosine(radius, rod, pin_offset, dwell_distance)


def candidate_dwell_top(candidate_dwell_top_cosine: Value) -> Value:
    r"""Crank angle during which the piston is within a distance of true top dead centre.

    .. math:: 2 \arccos c

    Parameters
    ----------
    candidate_dwell_top_cosine : shape (..., candidate), [1]
        Cosine of half the dwell at top.

    Returns
    -------
    candidate_dwell_top : shape (..., candidate), [rad]
        Dwell at top.

    Notes
    -----
    nan where the cosine is missing or is none.

    Source
    ------
    Both crossings lie symmetrically about the line from the crank centre to the piston pin.

    Examples
    --------
    >>> float(np.degrees(candidate_dwell_top(0.98208690480)))
    21.7221785
    """
    cosine = only_where(np.abs(candidate_dwell_top_cosine) <= 1, candidate_dwell_top_cosine)
    return 2 * np.arccos(cosine)


def candidate_dwell_bottom_cosine(
    dwell_distance: Value,
    stroke_nominal: Value,
    candidate_rod_length: Value,
    pin_offset: Value,
    candidate_state: Value,
) -> Value:
    r"""Cosine of the crank angle at which the piston comes within a distance of true bottom.

    .. math:: c = \frac{R^2 + p^2 + e^2 - L^2}{2 R \sqrt{p^2 + e^2}},
        \qquad p = \sqrt{(L - R)^2 - e^2} + x

    Parameters
    ----------
    dwell_distance : shape (...), [m]
        Dwell counted within.
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
    candidate_dwell_bottom_cosine : shape (..., candidate), [1]
        Cosine of the crank angle where dwell at bottom begins.

    Notes
    -----
    nan where the distance is missing, not above 0 or not below the stroke, or the combination waits
    or has a wrong entry. The angle counts from the line from the crank centre to the piston pin.

    Source
    ------
    Cosine rule in the triangle of crank centre, crankpin and piston pin; exact for any offset.

    Examples
    --------
    >>> float(candidate_dwell_bottom_cosine(0.001, 0.086, 0.143, 0.0008, 2))
    -0.96695936390
    """
    rod = standing_rod(candidate_state, candidate_rod_length)
    radius = slider_crank.crank_radius(stroke_nominal)
    return slider_crank.bottom_dwell_cosine(radius, rod, pin_offset, dwell_distance)


def candidate_dwell_bottom(candidate_dwell_bottom_cosine: Value) -> Value:
    r"""Crank angle during which the piston is within a distance of true bottom dead centre.

    .. math:: 2 \pi - 2 \arccos c

    Parameters
    ----------
    candidate_dwell_bottom_cosine : shape (..., candidate), [1]
        Cosine of the crank angle where dwell at bottom begins.

    Returns
    -------
    candidate_dwell_bottom : shape (..., candidate), [rad]
        Dwell at bottom.

    Notes
    -----
    nan where the cosine is missing or is none.

    Source
    ------
    Both crossings lie symmetrically about the line from the crank centre to the piston pin.

    Examples
    --------
    >>> float(np.degrees(candidate_dwell_bottom(-0.96695936390)))
    29.5389407
    """
    cosine = only_where(np.abs(candidate_dwell_bottom_cosine) <= 1, candidate_dwell_bottom_cosine)
    return 2 * np.pi - 2 * np.arccos(cosine)
