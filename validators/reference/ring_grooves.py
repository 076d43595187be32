"""Rings in their grooves: side clearance, back clearance, and the ring below its land."""

import numpy as np

from validators.reference.value import Value


def ring_side_clearance(ring_groove_width: Value, ring_width: Value) -> Value:
    r"""Room of a ring along the bore in its groove.

    .. math:: w_{groove} - w_{ring}

    Parameters
    ----------
    ring_groove_width : shape (..., cylinder, ring), [m]
    ring_width : shape (..., cylinder, ring), [m]

    Returns
    -------
    ring_side_clearance : shape (..., cylinder, ring), [m]

    Notes
    -----
    nan where an input is missing; negative where the ring does not fit.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> ring_side_clearance(1.240, 1.195)
    0.045
    """
    return ring_groove_width - ring_width


def ring_back_clearance(bore_least: Value, ring_groove_root: Value, ring_wall: Value) -> Value:
    r"""Room behind a ring whose face is on the wall of its bore.

    .. math:: (B - D_g) / 2 - a

    Parameters
    ----------
    bore_least : shape (..., cylinder), [m]
    ring_groove_root : shape (..., ring), [m]
    ring_wall : shape (..., ring), [m]

    Returns
    -------
    ring_back_clearance : shape (..., cylinder, ring), [m]

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Plane geometry.

    Examples
    --------
    >>> ring_back_clearance(86.010, 78.20, 3.65)
    0.255
    """
    return (bore_least - ring_groove_root) / 2 - ring_wall


def ring_below_land(
    land_diameter: Value, ring_groove_root_top: Value, ring_wall_top: Value
) -> Value:
    r"""How far the top ring sinks below the top land when it is pushed in.

    .. math:: (D_l - D_g) / 2 - a

    Parameters
    ----------
    land_diameter : shape (...), [m]
    ring_groove_root_top : shape (...), [m]
    ring_wall_top : shape (...), [m]

    Returns
    -------
    ring_below_land : shape (...), [m]

    Notes
    -----
    nan where an input is missing; negative where the ring stands proud.

    Source
    ------
    Plane geometry.

    Examples
    --------
    >>> ring_below_land(85.40, 78.20, 3.65)
    -0.05
    """
    return (land_diameter - ring_groove_root_top) / 2 - ring_wall_top


def ring_back_guard(size_guard_bore: Value, plain_guard_width: Value) -> Value:
    r"""Guard band of the back clearance: bore and groove root count half, the wall whole.

    .. math:: \sqrt{(U_B / 2)^2 + (U_w / 2)^2 + U_w^2}

    Parameters
    ----------
    size_guard_bore : shape (...), [m]
    plain_guard_width : shape (...), [m]

    Returns
    -------
    ring_back_guard : shape (...), [m]

    Notes
    -----
    nan where an input is missing. The three readings are taken as independent.

    Source
    ------
    JCGM 100, law of propagation of uncertainty (from memory).

    Examples
    --------
    >>> float(ring_back_guard(4.0, 2.0))
    3.0
    """
    return np.sqrt((size_guard_bore / 2) ** 2 + (plain_guard_width / 2) ** 2 + plain_guard_width**2)


def ring_depth_guard(plain_guard_width: Value) -> Value:
    r"""Guard band of the depth of a ring below its land: both diameters count half, the wall whole.

    .. math:: \sqrt{2 (U_w / 2)^2 + U_w^2}

    Parameters
    ----------
    plain_guard_width : shape (...), [m]

    Returns
    -------
    ring_depth_guard : shape (...), [m]

    Notes
    -----
    nan where the input is missing. The three readings are taken as independent.

    Source
    ------
    JCGM 100, law of propagation of uncertainty (from memory).

    Examples
    --------
    >>> float(ring_depth_guard(2.0))
    2.449489743
    """
    return np.sqrt(2 * (plain_guard_width / 2) ** 2 + plain_guard_width**2)
