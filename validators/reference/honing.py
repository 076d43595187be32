"""What the hone must do: finish sizes, metal left, crosshatch."""

import numpy as np

from validators.reference.measuring import dial_sign
from validators.reference.value import Value, only_where, rounded_nine
from validators.reference.words import HoneState


def hone_order(piston_size: Value, piston_clearance_target: Value) -> Value:
    r"""Finish size of a bore: its own piston plus the wanted clearance.

    .. math:: B = D + C^*

    Parameters
    ----------
    piston_size : shape (..., cylinder), [m]
        Piston at 20 °C.
    piston_clearance_target : shape (...), [m]
        Piston clearance wanted.

    Returns
    -------
    hone_order : shape (..., cylinder), [m]
        Finish bore to.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Common practice: the piston is the fixed part, so every bore gets its own size.

    Examples
    --------
    >>> hone_order(0.085951, 0.000055)
    0.086006
    """
    return piston_size + piston_clearance_target


def hone_shown(hone_order: Value, part_factor_bore: Value, reference_factor_bore: Value) -> Value:
    r"""Size that the gauge must show while block and gauge are warm.

    .. math:: B \frac{1 + \alpha_p (T_p - T_{ref})}{1 + \alpha_g (T_g - T_{ref})}

    Parameters
    ----------
    hone_order : shape (..., cylinder), [m]
        Finish bore to.
    part_factor_bore : shape (...), [1]
        Part, growth factor, bore.
    reference_factor_bore : shape (...), [1]
        Gauge or master, growth factor, bore.

    Returns
    -------
    hone_shown : shape (..., cylinder), [m]
        Gauge must show, size.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    ISO 1, reference temperature (from memory); the conversion of a reading turned round.

    Examples
    --------
    >>> hone_shown(0.086006, 1.000066, 1.000046)
    0.08600772004
    """
    return hone_order * part_factor_bore / reference_factor_bore


def hone_dial(
    hone_order: Value,
    part_factor_bore: Value,
    reference_factor_bore: Value,
    bore_setting_used: Value,
    setting_error_bore: Value,
    dial_sense_bore: Value,
) -> Value:
    r"""Deviation that the dial must show while block and master are warm.

    .. math:: d = s_n \left(B f_p - (S + e_s) f_g\right)

    Parameters
    ----------
    hone_order : shape (..., cylinder), [m]
        Finish bore to.
    part_factor_bore : shape (...), [1]
        Part, growth factor, bore.
    reference_factor_bore : shape (...), [1]
        Gauge or master, growth factor, bore.
    bore_setting_used : shape (..., cylinder), [m]
        Setting size used.
    setting_error_bore : shape (...), [m]
        Master's certificate error, bore.
    dial_sense_bore : shape (...), [1]
        Dial sense, bore.

    Returns
    -------
    hone_dial : shape (..., cylinder), [m]
        Gauge must show, deviation.

    Notes
    -----
    nan where an input is missing; without a setting size there is no deviation.

    Source
    ------
    ISO 1, reference temperature (from memory); the conversion of a reading turned round.

    Examples
    --------
    >>> float(hone_dial(0.0860118, 1.0, 1.0, 0.086, 0.0000013, 0)) * 1e6
    10.5
    >>> float(hone_dial(0.0860118, 1.0, 1.0, 0.086, 0.0000013, 1)) * 1e6
    -10.5
    """
    wanted = hone_order * part_factor_bore
    master = (bore_setting_used + setting_error_bore) * reference_factor_bore
    return dial_sign(dial_sense_bore) * (wanted - master)


def hone_stock_left(hone_order: Value, bore_present_largest: Value) -> Value:
    r"""Metal left to the ordered size at the largest place of the present bore, on diameter.

    .. math:: B - B_{max}

    Parameters
    ----------
    hone_order : shape (..., cylinder), [m]
        Finish bore to.
    bore_present_largest : shape (..., cylinder), [m]
        Present bore, largest.

    Returns
    -------
    hone_stock_left : shape (..., cylinder), [m]
        Metal left at the largest place.

    Notes
    -----
    nan where an input is missing; negative where the bore is already too big.

    Source
    ------
    Definition, common practice.

    Examples
    --------
    >>> hone_stock_left(0.086006, 0.085946) * 1e3
    0.060
    """
    return hone_order - bore_present_largest


def hone_removal(hone_order: Value, bore_present_smallest: Value) -> Value:
    r"""Metal to remove at the smallest place of the present bore, on diameter.

    .. math:: B - B_{min}

    Parameters
    ----------
    hone_order : shape (..., cylinder), [m]
        Finish bore to.
    bore_present_smallest : shape (..., cylinder), [m]
        Present bore, smallest.

    Returns
    -------
    hone_removal : shape (..., cylinder), [m]
        Metal to remove at the smallest place.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Definition, common practice.

    Examples
    --------
    >>> hone_removal(0.086006, 0.085931) * 1e3
    0.075
    """
    return hone_order - bore_present_smallest


def hone_state(hone_stock_left: Value, clean_up_allowance: Value, shown_length: Value) -> Value:
    r"""Whether a bore can be finished to its order.

    .. math:: B - B_{max} \ge 0, \qquad B - B_{max} \ge c

    Parameters
    ----------
    hone_stock_left : shape (..., cylinder), [m]
        Metal left at the largest place.
    clean_up_allowance : shape (...), [m]
        Least metal for the final hone, on diameter.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    hone_state : shape (..., cylinder), [1]
        Can it be done.

    Notes
    -----
    A bore that is already too big is named as such even where the allowance is missing.

    Source
    ------
    Metal cannot be added; least metal for the final hone: common practice, no source.

    Examples
    --------
    >>> [int(hone_state(left, 50e-6, 0.001)) for left in (np.nan, -1e-6, 49e-6, 50e-6)]
    [0, 1, 2, 3]
    """
    beyond_allowance = hone_stock_left - clean_up_allowance
    return np.select(
        [
            np.isnan(hone_stock_left),
            rounded_nine(hone_stock_left / shown_length) < 0,
            np.isnan(clean_up_allowance),
            rounded_nine(beyond_allowance / shown_length) < 0,
        ],
        [
            HoneState.WAITING,
            HoneState.ALREADY_TOO_BIG,
            HoneState.WAITING,
            HoneState.TOO_LITTLE_LEFT,
        ],
        HoneState.CAN_BE_FINISHED,
    )


def crosshatch_angle(
    nominal_size_bore: Value, hone_turns: Value, hone_stroke_length: Value, hone_stroke_rate: Value
) -> Value:
    r"""Included angle of the crosshatch that the settings of the hone give; it opens sideways.

    .. math:: 2 \arctan\frac{2 s f}{\pi B n}

    Parameters
    ----------
    nominal_size_bore : shape (...), [m]
        Nominal size, bore.
    hone_turns : shape (...), [1/s]
        Hone spindle speed.
    hone_stroke_length : shape (...), [m]
        Hone stroke length.
    hone_stroke_rate : shape (...), [1/s]
        Hone strokes, full, per minute.

    Returns
    -------
    crosshatch_angle : shape (...), [rad]
        Crosshatch from these settings, included angle.

    Notes
    -----
    nan where an input is missing or not above 0. The angle would be 0 for grooves that run round
    the bore; some books quote half of it, or the angle from the bore axis.

    Source
    ------
    Ratio of the stone's axial and circumferential speeds; common practice.

    Examples
    --------
    >>> float(np.degrees(crosshatch_angle(0.090, 200 / 60, 0.110, 60 / 60)))
    26.27825076
    """
    turning = (nominal_size_bore > 0) & (hone_turns > 0)
    stroking = (hone_stroke_length > 0) & (hone_stroke_rate > 0)
    along = 2 * hone_stroke_length * hone_stroke_rate
    around = np.pi * nominal_size_bore * hone_turns
    return only_where(turning & stroking, 2 * np.arctan2(along, around))


def hone_rate_needed(
    nominal_size_bore: Value,
    hone_turns: Value,
    hone_stroke_length: Value,
    crosshatch_wanted: Value,
) -> Value:
    r"""Full strokes in unit time that give the wanted crosshatch.

    .. math:: f = \frac{\pi B n \tan(\gamma / 2)}{2 s}

    Parameters
    ----------
    nominal_size_bore : shape (...), [m]
        Nominal size, bore.
    hone_turns : shape (...), [1/s]
        Hone spindle speed.
    hone_stroke_length : shape (...), [m]
        Hone stroke length.
    crosshatch_wanted : shape (...), [rad]
        Crosshatch wanted, included angle.

    Returns
    -------
    hone_rate_needed : shape (...), [1/s]
        Strokes per minute for the wanted angle.

    Notes
    -----
    nan where an input is missing or not above 0, or the angle is half a turn or more.

    Source
    ------
    The equation of the crosshatch angle, solved for the stroke rate.

    Examples
    --------
    >>> float(hone_rate_needed(0.090, 200 / 60, 0.110, np.radians(45))) * 60
    106.4692051
    """
    turning = (nominal_size_bore > 0) & (hone_turns > 0)
    sensible = (crosshatch_wanted > 0) & (crosshatch_wanted < np.pi)
    around = np.pi * nominal_size_bore * hone_turns
    stroke_length = only_where(hone_stroke_length > 0, hone_stroke_length)
    tangent = np.tan(only_where(turning & sensible, crosshatch_wanted) / 2)
    return around * tangent / (2 * stroke_length)
