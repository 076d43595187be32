"""How far the pistons rock in their bores, measured and predicted."""

import numpy as np

from validators.reference.value import Value, only_where, rounded_nine
from validators.reference.words import RockState


def rock_measured(rocked_reading_used_up: Value, rocked_reading_used_down: Value) -> Value:
    r"""Rock of a piston as measured: half the difference of the rocked readings.

    .. math:: \frac{h_{up} - h_{down}}{2}

    Parameters
    ----------
    rocked_reading_used_up : shape (..., cylinder), [m]
        Height, if believable, rocked up.
    rocked_reading_used_down : shape (..., cylinder), [m]
        Height, if believable, rocked down.

    Returns
    -------
    rock_measured : shape (..., cylinder), [m]
        Rock, measured.

    Notes
    -----
    nan where a reading is missing or cannot be right.

    Source
    ------
    Common practice.

    Examples
    --------
    >>> rock_measured(-0.235, -0.330)
    0.0475
    """
    return (rocked_reading_used_up - rocked_reading_used_down) / 2


def rock_angle(bore_thrust_least: Value, piston_size: Value, skirt_length: Value) -> Value:
    r"""Angle by which a piston can rock, as bore, skirt and skirt length predict.

    .. math:: l \sin\varphi + D \cos\varphi = B, \qquad
        \varphi = \arcsin\frac{B}{\sqrt{l^2 + D^2}} - \arctan\frac{D}{l}

    Parameters
    ----------
    bore_thrust_least : shape (..., cylinder), [m]
        Smallest, thrust axis.
    piston_size : shape (..., cylinder), [m]
        Piston at 20 °C.
    skirt_length : shape (...), [m]
        Skirt contact length.

    Returns
    -------
    rock_angle : shape (..., cylinder), [rad]
        Rock angle, predicted.

    Notes
    -----
    nan where an input is missing, or the skirt is so short that it could turn over.

    Source
    ------
    Geometry of a rigid skirt that touches a low edge on one side and a high edge on the other.

    Examples
    --------
    >>> float(rock_angle(0.086010, 0.085955, 0.050)) * 1e3
    1.10104225
    """
    diagonal = np.sqrt(skirt_length**2 + piston_size**2)
    across = bore_thrust_least / diagonal
    return np.arcsin(only_where(np.abs(across) <= 1, across)) - np.arctan2(
        piston_size, skirt_length
    )


def rock_rise(rock_angle: Value, rock_radius: Value, compression_height: Value) -> Value:
    r"""Rise of the crown at the place of the rocked reading, as predicted.

    .. math:: R_m \sin\varphi - h_c (1 - \cos\varphi)

    Parameters
    ----------
    rock_angle : shape (..., cylinder), [rad]
        Rock angle, predicted.
    rock_radius : shape (...), [m]
        Rocked reading taken at, from the pin axis.
    compression_height : shape (...), [m]
        Compression height, chosen.

    Returns
    -------
    rock_rise : shape (..., cylinder), [m]
        Crown edge rise, predicted.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Turning of a rigid piston about its pin.

    Examples
    --------
    >>> float(rock_rise(1.10104225e-3, 0.038, 0.0312)) * 1e3
    0.041820685
    """
    return rock_radius * np.sin(rock_angle) - compression_height * (1 - np.cos(rock_angle))


def rock_fall(rock_angle: Value, rock_radius: Value, compression_height: Value) -> Value:
    r"""Rise, here negative, of the crown on the side opposite to the rocked reading.

    .. math:: -R_m \sin\varphi - h_c (1 - \cos\varphi)

    Parameters
    ----------
    rock_angle : shape (..., cylinder), [rad]
        Rock angle, predicted.
    rock_radius : shape (...), [m]
        Rocked reading taken at, from the pin axis.
    compression_height : shape (...), [m]
        Compression height, chosen.

    Returns
    -------
    rock_fall : shape (..., cylinder), [m]
        Other edge, predicted.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Turning of a rigid piston about its pin.

    Examples
    --------
    >>> float(rock_fall(1.10104225e-3, 0.038, 0.0312)) * 1e3
    -0.041858509
    """
    return -rock_radius * np.sin(rock_angle) - compression_height * (1 - np.cos(rock_angle))


def rock_ratio(rock_measured: Value, rock_rise: Value) -> Value:
    r"""Measured over predicted rock.

    .. math:: \frac{r_{measured}}{r_{predicted}}

    Parameters
    ----------
    rock_measured : shape (..., cylinder), [m]
        Rock, measured.
    rock_rise : shape (..., cylinder), [m]
        Crown edge rise, predicted.

    Returns
    -------
    rock_ratio : shape (..., cylinder), [1]
        Measured over predicted.

    Notes
    -----
    nan where an input is missing, or no rise is predicted.

    Source
    ------
    Quotient.

    Examples
    --------
    >>> float(rock_ratio(0.055, 0.04359707274))
    1.2615526
    """
    return rock_measured / only_where(rock_rise > 0, rock_rise)


def rock_state(rock_ratio: Value, rock_ratio_lowest: Value, rock_ratio_highest: Value) -> Value:
    r"""State of the rock: what measured over predicted says.

    .. math:: k_{lowest} \le r \le k_{highest}

    Parameters
    ----------
    rock_ratio : shape (..., cylinder), [1]
        Measured over predicted.
    rock_ratio_lowest : shape (...), [1]
        Rock measured over predicted, lowest believed.
    rock_ratio_highest : shape (...), [1]
        Rock measured over predicted, highest believed.

    Returns
    -------
    rock_state : shape (..., cylinder), [1]
        Rock.

    Notes
    -----
    Not measured, where the ratio is missing. Compared at nine decimals.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> [int(rock_state(ratio, 0.3, 1.5)) for ratio in (np.nan, 0.2, 0.3, 1.51)]
    [0, 1, 2, 3]
    """
    return np.select(
        [
            np.isnan(rock_ratio),
            rounded_nine(rock_ratio - rock_ratio_lowest) < 0,
            rounded_nine(rock_ratio - rock_ratio_highest) > 0,
        ],
        [RockState.NOT_MEASURED, RockState.NOT_ROCKED_FULLY, RockState.WORN],
        RockState.AS_PREDICTED,
    )
