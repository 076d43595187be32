"""True dead centres of the combinations."""

from validators.reference import slider_crank
from validators.reference.candidates import standing_rod
from validators.reference.value import Value


def candidate_top_loss(
    stroke_nominal: Value, candidate_rod_length: Value, pin_offset: Value, candidate_state: Value
) -> Value:
    r"""Height lost at top dead centre by the offset.

    .. math:: (L + R) - \sqrt{(L + R)^2 - e^2}

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
    candidate_top_loss : shape (..., candidate), [m]
        Height lost by the offset.

    Notes
    -----
    nan where the combination waits or has a wrong entry.

    Source
    ------
    Plane geometry of the slider-crank.

    Examples
    --------
    >>> float(candidate_top_loss(0.086, 0.143, 0.0008, 2)) * 1e6
    1.720438
    """
    rod = standing_rod(candidate_state, candidate_rod_length)
    radius = slider_crank.crank_radius(stroke_nominal)
    return (rod + radius) - slider_crank.top_height(radius, rod, pin_offset)


def candidate_top_angle(
    stroke_nominal: Value, candidate_rod_length: Value, pin_offset: Value, candidate_state: Value
) -> Value:
    r"""Crank angle of true top dead centre.

    .. math:: -\arcsin\frac{e}{L + R}

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
    candidate_top_angle : shape (..., candidate), [rad]
        True top dead centre.

    Notes
    -----
    nan where the combination waits or has a wrong entry.

    Source
    ------
    Plane geometry of the slider-crank.

    Examples
    --------
    >>> float(candidate_top_angle(0.086, 0.143, 0.0008, 2))
    -0.004301089
    """
    rod = standing_rod(candidate_state, candidate_rod_length)
    return slider_crank.top_angle(slider_crank.crank_radius(stroke_nominal), rod, pin_offset)


def candidate_bottom_angle(
    stroke_nominal: Value, candidate_rod_length: Value, pin_offset: Value, candidate_state: Value
) -> Value:
    r"""Crank angle of true bottom dead centre.

    .. math:: \pi - \arcsin\frac{e}{L - R}

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
    candidate_bottom_angle : shape (..., candidate), [rad]
        True bottom dead centre.

    Notes
    -----
    nan where the combination waits or has a wrong entry.

    Source
    ------
    Plane geometry of the slider-crank.

    Examples
    --------
    >>> float(candidate_bottom_angle(0.086, 0.143, 0.0008, 2))
    3.13359257
    """
    rod = standing_rod(candidate_state, candidate_rod_length)
    return slider_crank.bottom_angle(slider_crank.crank_radius(stroke_nominal), rod, pin_offset)


def candidate_true_stroke(
    stroke_nominal: Value, candidate_rod_length: Value, pin_offset: Value, candidate_state: Value
) -> Value:
    r"""Way of the piston between its true dead centres.

    .. math:: \sqrt{(L + R)^2 - e^2} - \sqrt{(L - R)^2 - e^2}

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
    candidate_true_stroke : shape (..., candidate), [m]
        Stroke with offset.

    Notes
    -----
    nan where the combination waits or has a wrong entry.

    Source
    ------
    Plane geometry of the slider-crank.

    Examples
    --------
    >>> float(candidate_true_stroke(0.086, 0.143, 0.0008, 2))
    0.08600147961
    """
    rod = standing_rod(candidate_state, candidate_rod_length)
    radius = slider_crank.crank_radius(stroke_nominal)
    top = slider_crank.top_height(radius, rod, pin_offset)
    bottom = slider_crank.bottom_height(radius, rod, pin_offset)
    return top - bottom


def candidate_top_sideways(
    stroke_nominal: Value, pin_offset: Value, candidate_top_angle: Value
) -> Value:
    r"""Distance between crankpin and piston pin, square to the cylinder, at true top dead centre.

    .. math:: q = R \sin\theta + e

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    pin_offset : shape (...), [m]
        Pin or cylinder offset.
    candidate_top_angle : shape (..., candidate), [rad]
        True top dead centre.

    Returns
    -------
    candidate_top_sideways : shape (..., candidate), [m]
        Crankpin beside the pin axis, at true top.

    Notes
    -----
    nan where the combination waits or has a wrong entry.

    Source
    ------
    Plane geometry of the slider-crank.

    Examples
    --------
    >>> float(candidate_top_sideways(0.086, 0.0008, -0.004301089)) * 1e3
    0.615054
    """
    radius = slider_crank.crank_radius(stroke_nominal)
    return slider_crank.pin_sideways(radius, pin_offset, candidate_top_angle)


def candidate_top_upright(
    stroke_nominal: Value,
    candidate_rod_length: Value,
    pin_offset: Value,
    candidate_top_angle: Value,
    candidate_state: Value,
) -> Value:
    r"""Length of the rod along the cylinder axis at true top dead centre.

    .. math:: W = \sqrt{L^2 - q^2}

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    candidate_rod_length : shape (..., candidate), [m]
        Rod length.
    pin_offset : shape (...), [m]
        Pin or cylinder offset.
    candidate_top_angle : shape (..., candidate), [rad]
        True top dead centre.
    candidate_state : shape (..., candidate), [1]
        State.

    Returns
    -------
    candidate_top_upright : shape (..., candidate), [m]
        Rod length along the axis, at true top.

    Notes
    -----
    nan where the combination waits or has a wrong entry.

    Source
    ------
    Plane geometry of the slider-crank.

    Examples
    --------
    >>> float(candidate_top_upright(0.086, 0.143, 0.0008, -0.004301089, 2)) * 1e3
    142.99867730
    """
    rod = standing_rod(candidate_state, candidate_rod_length)
    radius = slider_crank.crank_radius(stroke_nominal)
    return slider_crank.rod_along_axis(radius, rod, pin_offset, candidate_top_angle)
