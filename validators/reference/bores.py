"""Cylinder bores: sizes of the grid, and the state of the entries."""

import numpy as np

from validators.reference.measuring import size_at_reference
from validators.reference.value import Value
from validators.reference.words import EntryState, Plate, PlateState


def bore_setting_used(bore_setting: Value, setting_size_bore: Value) -> Value:
    r"""Setting size of the bore gauge: that of the bore if typed, else that of the gauge.

    .. math:: S = S_i \text{ if typed, else } S_{gauge}

    Parameters
    ----------
    bore_setting : shape (..., cylinder), [m]
    setting_size_bore : shape (...), [m]

    Returns
    -------
    bore_setting_used : shape (..., cylinder), [m]

    Notes
    -----
    nan if neither is typed.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(bore_setting_used(np.nan, 0.086))
    0.086
    """
    return np.where(np.isnan(bore_setting), setting_size_bore, bore_setting)


def bore_size(
    bore_reading: Value,
    entry_form_bore: Value,
    bore_setting_used: Value,
    setting_error_bore: Value,
    dial_sense_bore: Value,
    part_factor_bore: Value,
    reference_factor_bore: Value,
    size_lowest: Value,
    size_highest: Value,
    dial_travel: Value,
) -> Value:
    r"""Two-point size of a bore at 20 °C, at one depth and on one axis.

    .. math:: D = I \frac{f_g}{f_p} \qquad D = \frac{(S + e_s) f_g + s_n d}{f_p}

    Parameters
    ----------
    bore_reading : shape (..., cylinder, depth, axis), [m]
    entry_form_bore : shape (...), [1]
    bore_setting_used : shape (..., cylinder), [m]
    setting_error_bore : shape (...), [m]
    dial_sense_bore : shape (...), [1]
    part_factor_bore : shape (...), [1]
    reference_factor_bore : shape (...), [1]
    size_lowest : shape (...), [m]
    size_highest : shape (...), [m]
    dial_travel : shape (...), [m]

    Returns
    -------
    bore_size : shape (..., cylinder, depth, axis), [m]

    Notes
    -----
    nan if the reading is outside what is believed of the form it was typed in.

    Source
    ------
    ISO 1 and ISO 14405-1 (from memory).

    Examples
    --------
    >>> float(bore_size(0.086012, 0, 1, 0, 0, 1.000129, 1.000046, 0.0005, 0.4, 0.0015)) * 1e3
    86.00486192
    """
    return size_at_reference(
        bore_reading,
        entry_form_bore,
        bore_setting_used,
        setting_error_bore,
        dial_sense_bore,
        part_factor_bore,
        reference_factor_bore,
        size_lowest,
        size_highest,
        dial_travel,
    )


def bore_entry_state(
    bore_reading: Value,
    bore_size: Value,
    part_factor_bore: Value,
    reference_factor_bore: Value,
) -> Value:
    r"""Say whether the six readings of a bore are there and can be used.

    .. math:: \text{complete if six readings give six sizes}

    Parameters
    ----------
    bore_reading : shape (..., cylinder, depth, axis), [m]
    bore_size : shape (..., cylinder, depth, axis), [m]
    part_factor_bore : shape (...), [1]
    reference_factor_bore : shape (...), [1]

    Returns
    -------
    bore_entry_state : shape (..., cylinder), [1]

    Notes
    -----
    Never nan.

    Source
    ------
    Common practice, no source.
    """
    factor_missing = np.isnan(part_factor_bore) | np.isnan(reference_factor_bore)
    waiting = np.any(np.isnan(bore_reading) | factor_missing, axis=(-2, -1))
    unusable = np.any(np.isnan(bore_size), axis=(-2, -1))
    return np.select(
        [waiting, unusable], [EntryState.WAITING, EntryState.CHECK_ENTRY], EntryState.COMPLETE
    )


def bore_least(bore_size: Value) -> Value:
    r"""Smallest of the six sizes of a bore.

    .. math:: D_{least} = \min D

    Parameters
    ----------
    bore_size : shape (..., cylinder, depth, axis), [m]

    Returns
    -------
    bore_least : shape (..., cylinder), [m]

    Notes
    -----
    nan if any of the six is nan.

    Source
    ------
    Common practice, no source.
    """
    return np.min(bore_size, axis=(-2, -1))


def bore_greatest(bore_size: Value) -> Value:
    r"""Largest of the six sizes of a bore.

    .. math:: D_{greatest} = \max D

    Parameters
    ----------
    bore_size : shape (..., cylinder, depth, axis), [m]

    Returns
    -------
    bore_greatest : shape (..., cylinder), [m]

    Notes
    -----
    nan if any of the six is nan.

    Source
    ------
    Common practice, no source.
    """
    return np.max(bore_size, axis=(-2, -1))


def bore_mean(bore_size: Value) -> Value:
    r"""Mean of the six sizes of a bore.

    .. math:: \bar D = \frac{1}{6} \sum D

    Parameters
    ----------
    bore_size : shape (..., cylinder, depth, axis), [m]

    Returns
    -------
    bore_mean : shape (..., cylinder), [m]

    Notes
    -----
    nan if any of the six is nan.

    Source
    ------
    Common practice, no source.
    """
    return np.sum(bore_size, axis=(-2, -1)) / 6


def bore_thrust_least(bore_size_thrust: Value) -> Value:
    r"""Smallest size of a bore on the thrust axis: the one that judges piston clearance.

    .. math:: D_{thrust} = \min(X_1, X_2, X_3)

    Parameters
    ----------
    bore_size_thrust : shape (..., cylinder, depth), [m]

    Returns
    -------
    bore_thrust_least : shape (..., cylinder), [m]

    Notes
    -----
    nan if any of the three is nan.

    Source
    ------
    Common practice, no source.
    """
    return np.min(bore_size_thrust, axis=-1)


def bore_axis_mean(bore_size: Value) -> Value:
    r"""Mean size of a bore on one axis.

    .. math:: \bar X = \frac{X_1 + X_2 + X_3}{3}

    Parameters
    ----------
    bore_size : shape (..., cylinder, depth, axis), [m]

    Returns
    -------
    bore_axis_mean : shape (..., cylinder, axis), [m]

    Notes
    -----
    nan if any of the three on that axis is nan.

    Source
    ------
    Common practice, no source.
    """
    return np.sum(bore_size, axis=-1) / 3


def bore_size_error(bore_mean: Value, hone_order: Value) -> Value:
    r"""Mean size of a bore minus the size that was ordered.

    .. math:: \bar D - B

    Parameters
    ----------
    bore_mean : shape (..., cylinder), [m]
    hone_order : shape (..., cylinder), [m]

    Returns
    -------
    bore_size_error : shape (..., cylinder), [m]

    Notes
    -----
    nan where an input is nan.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(bore_size_error(0.086008, 0.086006)) * 1e6
    2.0
    """
    return bore_mean - hone_order


def plate_state(torque_plate: Value) -> Value:
    r"""Say whether every bore was measured in the same state of the torque plate.

    .. math:: n_{on} > 0 \text{ and } n_{off} > 0 \text{: mixed}

    Parameters
    ----------
    torque_plate : shape (..., cylinder), [1]

    Returns
    -------
    plate_state : shape (...), [1]

    Notes
    -----
    Never nan; sizes of different state are not to be compared.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> PlateState(int(plate_state(np.array([1.0, 1.0])))).text
    'on at every bore'
    """
    on = np.sum(np.equal(torque_plate, Plate.ON), axis=-1)
    off = np.sum(np.equal(torque_plate, Plate.OFF), axis=-1)
    bores = np.shape(torque_plate)[-1]
    return np.select(
        [(on > 0) & (off > 0), on + off < bores, on > 0],
        [PlateState.MIXED, PlateState.NOT_NOTED, PlateState.ON],
        PlateState.OFF,
    )
