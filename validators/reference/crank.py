"""The crank as a whole: stroke as ground, runout, end float."""

import numpy as np

from validators.reference.value import Value, only_where


def stroke_measured(throw_height_top: Value, throw_height_bottom: Value) -> Value:
    r"""Stroke as ground: the same crankpin's height at top and at bottom; the pin's size cancels.

    .. math:: |h_{top} - h_{bottom}|

    Parameters
    ----------
    throw_height_top : shape (..., crankpin), [m]
        Crankpin height at top.
    throw_height_bottom : shape (..., crankpin), [m]
        Crankpin height at bottom.

    Returns
    -------
    stroke_measured : shape (..., crankpin), [m]
        Stroke as ground.

    Notes
    -----
    nan where an input is missing. The order of typing does not matter.

    Source
    ------
    Subtraction; common practice.

    Examples
    --------
    >>> float(stroke_measured(261.400, 175.386))
    86.014
    """
    return np.abs(throw_height_top - throw_height_bottom)


def stroke_error(stroke_measured: Value, stroke_nominal: Value) -> Value:
    r"""Stroke as ground minus nominal stroke.

    .. math:: S_{measured} - S

    Parameters
    ----------
    stroke_measured : shape (..., crankpin), [m]
        Stroke as ground.
    stroke_nominal : shape (...), [m]
        Stroke.

    Returns
    -------
    stroke_error : shape (..., crankpin), [m]
        Stroke minus nominal.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> stroke_error(86.014, 86.000)
    0.014
    """
    return stroke_measured - stroke_nominal


def stroke_spread(stroke_measured: Value) -> Value:
    r"""Difference between the longest and the shortest stroke of the crank.

    .. math:: \max S - \min S

    Parameters
    ----------
    stroke_measured : shape (..., crankpin), [m]
        Stroke as ground.

    Returns
    -------
    stroke_spread : shape (...), [m]
        Stroke, spread over the throws.

    Notes
    -----
    nan unless every throw is measured.

    Source
    ------
    Definition.

    Examples
    --------
    >>> float(stroke_spread(np.array([86.014, 86.006, 86.011])))
    0.008
    """
    return np.max(stroke_measured, axis=-1) - np.min(stroke_measured, axis=-1)


def main_runout(runout_greatest: Value, runout_least: Value) -> Value:
    r"""Total indicated runout of a main journal over one turn.

    .. math:: d_{max} - d_{min}

    Parameters
    ----------
    runout_greatest : shape (..., main), [m]
        Runout dial, greatest.
    runout_least : shape (..., main), [m]
        Runout dial, least.

    Returns
    -------
    main_runout : shape (..., main), [m]
        Runout (TIR).

    Notes
    -----
    nan where an input is missing, or the greatest reading is below the least.

    Source
    ------
    Definition, common practice. Between V-blocks it holds the roundness of the supporting journals
    too.

    Examples
    --------
    >>> float(main_runout(0.015, -0.021))
    0.036
    """
    runout = runout_greatest - runout_least
    return only_where(runout >= 0, runout)


def main_eccentricity(main_runout: Value) -> Value:
    r"""Distance of a main journal's axis from the axis of turning: half the runout.

    .. math:: e = \frac{1}{2} (d_{max} - d_{min})

    Parameters
    ----------
    main_runout : shape (..., main), [m]
        Runout (TIR).

    Returns
    -------
    main_eccentricity : shape (..., main), [m]
        Eccentricity.

    Notes
    -----
    nan where the runout is.

    Source
    ------
    Definition, for a round journal.

    Examples
    --------
    >>> main_eccentricity(0.036)
    0.018
    """
    return main_runout / 2


def end_float(
    end_float_fore: Value,
    end_float_aft: Value,
    thrust_journal_width: Value,
    thrust_bearing_width: Value,
) -> Value:
    r"""End float of the crank, from a dial or from two widths.

    .. math:: |d_{fore} - d_{aft}| \quad \text{else} \quad |w_{journal} - w_{bearing}|

    Parameters
    ----------
    end_float_fore : shape (...), [m]
        End float dial, crank forward.
    end_float_aft : shape (...), [m]
        End float dial, crank back.
    thrust_journal_width : shape (...), [m]
        Thrust journal width.
    thrust_bearing_width : shape (...), [m]
        Thrust bearing width over flanges.

    Returns
    -------
    end_float : shape (...), [m]
        End float.

    Notes
    -----
    The dial is taken where both of its readings are typed. nan where neither pair is complete. The
    order of typing does not matter.

    Source
    ------
    Subtraction; common practice.

    Examples
    --------
    >>> float(end_float(0.42, 0.29, np.nan, np.nan))
    0.13
    >>> float(end_float(0.42, np.nan, 30.12, 29.96))
    0.16
    """
    by_dial = np.abs(end_float_fore - end_float_aft)
    by_width = np.abs(thrust_journal_width - thrust_bearing_width)
    return np.where(np.isnan(by_dial), by_width, by_dial)
