"""Pistons: sizes at 20 °C and their clearances in the bores."""

from validators.reference.measuring import size_at_reference
from validators.reference.value import Value, only_where


def piston_size(
    piston_reading: Value,
    entry_form_piston: Value,
    setting_size_piston: Value,
    setting_error_piston: Value,
    dial_sense_piston: Value,
    part_factor_piston: Value,
    reference_factor_piston: Value,
    size_lowest: Value,
    size_highest: Value,
    dial_travel: Value,
) -> Value:
    r"""Size of a piston at its gauge point, at 20 °C.

    .. math:: D = I \frac{f_g}{f_p} \qquad D = \frac{(S + e_s) f_g + s_n d}{f_p}

    Parameters
    ----------
    piston_reading : shape (..., cylinder), [m]
    entry_form_piston : shape (...), [1]
    setting_size_piston : shape (...), [m]
    setting_error_piston : shape (...), [m]
    dial_sense_piston : shape (...), [1]
    part_factor_piston : shape (...), [1]
    reference_factor_piston : shape (...), [1]
    size_lowest : shape (...), [m]
    size_highest : shape (...), [m]
    dial_travel : shape (...), [m]

    Returns
    -------
    piston_size : shape (..., cylinder), [m]

    Notes
    -----
    nan if the reading is outside what is believed of the form it was typed in.

    Source
    ------
    ISO 1 (from memory).

    Examples
    --------
    >>> believed = (0.0005, 0.4, 0.0015)
    >>> float(piston_size(0.085955, 0, 0.086, 0.0, 0, 1.0, 1.0, *believed)) * 1e3
    85.955
    """
    return size_at_reference(
        piston_reading,
        entry_form_piston,
        setting_size_piston,
        setting_error_piston,
        dial_sense_piston,
        part_factor_piston,
        reference_factor_piston,
        size_lowest,
        size_highest,
        dial_travel,
    )


def piston_clearance(bore_thrust_least: Value, piston_size: Value) -> Value:
    r"""Cold clearance of a piston in its bore, at the tightest place of the thrust axis.

    .. math:: C = B - D

    Parameters
    ----------
    bore_thrust_least : shape (..., cylinder), [m]
    piston_size : shape (..., cylinder), [m]

    Returns
    -------
    piston_clearance : shape (..., cylinder), [m]

    Notes
    -----
    Zero or less is shown as it is: an interference.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(piston_clearance(0.086010, 0.085955)) * 1e3
    0.055
    """
    return bore_thrust_least - piston_size


def piston_clearance_mean(bore_axis_mean_thrust: Value, piston_size: Value) -> Value:
    r"""Cold clearance of a piston from the mean of the thrust axis.

    .. math:: \bar C = \bar X - D

    Parameters
    ----------
    bore_axis_mean_thrust : shape (..., cylinder), [m]
    piston_size : shape (..., cylinder), [m]

    Returns
    -------
    piston_clearance_mean : shape (..., cylinder), [m]

    Notes
    -----
    nan where an input is nan.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(piston_clearance_mean(0.086012, 0.085955)) * 1e3
    0.057
    """
    return bore_axis_mean_thrust - piston_size


def piston_clearance_ratio(piston_clearance: Value, bore_thrust_least: Value) -> Value:
    r"""Cold clearance of a piston per bore.

    .. math:: C / B

    Parameters
    ----------
    piston_clearance : shape (..., cylinder), [m]
    bore_thrust_least : shape (..., cylinder), [m]

    Returns
    -------
    piston_clearance_ratio : shape (..., cylinder), [1]

    Notes
    -----
    nan if the bore is not positive.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(piston_clearance_ratio(55e-6, 0.08601))
    0.00063946053
    """
    return piston_clearance / only_where(bore_thrust_least > 0, bore_thrust_least)


def piston_clearance_hot(
    bore_thrust_least: Value,
    piston_size: Value,
    body_expansion_bore: Value,
    body_expansion_piston: Value,
    bore_hot_temperature: Value,
    piston_hot_temperature: Value,
    reference_temperature: Value,
) -> Value:
    r"""Clearance of a piston with bore and skirt at their hot temperatures.

    .. math:: B (1 + \alpha_b (T_b - T_{ref})) - D (1 + \alpha_p (T_p - T_{ref}))

    Parameters
    ----------
    bore_thrust_least : shape (..., cylinder), [m]
    piston_size : shape (..., cylinder), [m]
    body_expansion_bore : shape (...), [1/K]
    body_expansion_piston : shape (...), [1/K]
    bore_hot_temperature : shape (...), [K]
    piston_hot_temperature : shape (...), [K]
    reference_temperature : shape (...), [K]

    Returns
    -------
    piston_clearance_hot : shape (..., cylinder), [m]

    Notes
    -----
    For comparing choices only: a skirt is oval, barrel-shaped and elastic. May be negative.

    Source
    ------
    Linear expansion (from memory).

    Examples
    --------
    >>> hot = (383.15, 403.15, 293.15)
    >>> float(piston_clearance_hot(0.086010, 0.085955, 11e-6, 19.4e-6, *hot)) * 1e3
    -0.04327807
    """
    bore_rise = bore_hot_temperature - reference_temperature
    piston_rise = piston_hot_temperature - reference_temperature
    return bore_thrust_least * (1 + body_expansion_bore * bore_rise) - piston_size * (
        1 + body_expansion_piston * piston_rise
    )
