"""Crankpins: sizes, form, undersize class."""

import numpy as np

from validators.reference.journal_form import nearest_step, worst_out_of_round, worst_taper
from validators.reference.measuring import size_at_reference
from validators.reference.value import Value, rounded_nine


def crankpin_size(
    crankpin_reading: Value,
    entry_form_crankpin: Value,
    setting_size_crankpin: Value,
    setting_error_crankpin: Value,
    dial_sense_crankpin: Value,
    reference_factor_crankpin: Value,
    part_factor_crankpin: Value,
    size_lowest: Value,
    size_highest: Value,
    dial_travel: Value,
) -> Value:
    r"""Size of a crankpin at the reference temperature, at each of its places.

    .. math:: D = I \frac{f_g}{f_p} \qquad D = \frac{(S + e_s) f_g + s_n d}{f_p}

    Parameters
    ----------
    crankpin_reading : shape (..., crankpin, station, across), [m]
        Crankpin.
    entry_form_crankpin : shape (...), [1]
        Typed as, crankpin.
    setting_size_crankpin : shape (...), [m]
        Setting size, crankpin.
    setting_error_crankpin : shape (...), [m]
        Master's certificate error, crankpin.
    dial_sense_crankpin : shape (...), [1]
        Dial sense, crankpin.
    reference_factor_crankpin : shape (...), [1]
        Gauge or master, growth factor, crankpin.
    part_factor_crankpin : shape (...), [1]
        Part, growth factor, crankpin.
    size_lowest : shape (...), [m]
        Smallest size believed.
    size_highest : shape (...), [m]
        Largest size believed.
    dial_travel : shape (...), [m]
        Dial travel believed.

    Returns
    -------
    crankpin_size : shape (..., crankpin, station, across), [m]
        Crankpin at 20 °C.

    Notes
    -----
    nan where the reading cannot be right, or a growth factor is missing.

    Source
    ------
    ISO 1, reference temperature (from memory).

    Examples
    --------
    >>> typed_whole, believed = (0, np.nan, 0.0, 0), (0.0005, 0.4, 0.0015)
    >>> float(crankpin_size(0.059987, *typed_whole, 1.0, 1.0, *believed)) * 1e3
    59.987
    """
    return size_at_reference(
        reading=crankpin_reading,
        entry_form=entry_form_crankpin,
        setting_size=setting_size_crankpin,
        setting_error=setting_error_crankpin,
        dial_sense=dial_sense_crankpin,
        reference_factor=reference_factor_crankpin,
        part_factor=part_factor_crankpin,
        size_lowest=size_lowest,
        size_highest=size_highest,
        dial_travel=dial_travel,
    )


def crankpin_greatest(crankpin_size: Value) -> Value:
    r"""Largest size of a crankpin: it decides the tight clearance.

    .. math:: \max D

    Parameters
    ----------
    crankpin_size : shape (..., crankpin, station, across), [m]
        Crankpin at 20 °C.

    Returns
    -------
    crankpin_greatest : shape (..., crankpin), [m]
        Largest.

    Notes
    -----
    nan unless all four sizes are there.

    Source
    ------
    Definition; two-point size by ISO 14405-1 (from memory).

    Examples
    --------
    >>> float(crankpin_greatest(np.array([[0.059987, 0.059984], [0.059986, 0.059985]]))) * 1e3
    59.987
    """
    return np.max(crankpin_size, axis=(-2, -1))


def crankpin_mean(crankpin_size: Value) -> Value:
    r"""Mean size of a crankpin: it decides the undersize class.

    .. math:: \bar D = \frac{1}{4} \sum D

    Parameters
    ----------
    crankpin_size : shape (..., crankpin, station, across), [m]
        Crankpin at 20 °C.

    Returns
    -------
    crankpin_mean : shape (..., crankpin), [m]
        Mean.

    Notes
    -----
    nan unless all four sizes are there.

    Source
    ------
    Definition.

    Examples
    --------
    >>> float(crankpin_mean(np.array([[0.059987, 0.059984], [0.059986, 0.059985]]))) * 1e3
    59.9855
    """
    return np.mean(crankpin_size, axis=(-2, -1))


def crankpin_out_of_round(crankpin_size: Value) -> Value:
    r"""Out-of-round of a crankpin: the full difference of two diameters, worst station.

    .. math:: \max_{station} |D_{first} - D_{second}|

    Parameters
    ----------
    crankpin_size : shape (..., crankpin, station, across), [m]
        Crankpin at 20 °C.

    Returns
    -------
    crankpin_out_of_round : shape (..., crankpin), [m]
        Out-of-round.

    Notes
    -----
    nan unless all four sizes are there.

    Source
    ------
    Workshop usage; a roundness deviation by ISO 12181 is a difference of radii (from memory).

    Examples
    --------
    >>> float(crankpin_out_of_round(np.array([[59.987, 59.984], [59.986, 59.985]])))
    0.003
    """
    return worst_out_of_round(crankpin_size)


def crankpin_taper(crankpin_size: Value) -> Value:
    r"""Taper of a crankpin: the full difference of two diameters, worst direction.

    .. math:: \max_{direction} |D_{front} - D_{rear}|

    Parameters
    ----------
    crankpin_size : shape (..., crankpin, station, across), [m]
        Crankpin at 20 °C.

    Returns
    -------
    crankpin_taper : shape (..., crankpin), [m]
        Taper.

    Notes
    -----
    nan unless all four sizes are there.

    Source
    ------
    Workshop usage.

    Examples
    --------
    >>> float(crankpin_taper(np.array([[59.987, 59.984], [59.986, 59.985]])))
    0.001
    """
    return worst_taper(crankpin_size)


def crankpin_undersize(nominal_size_crankpin: Value, crankpin_mean: Value) -> Value:
    r"""How much a crankpin is under its nominal size.

    .. math:: D_{nominal} - \bar D

    Parameters
    ----------
    nominal_size_crankpin : shape (...), [m]
        Nominal size, crankpin.
    crankpin_mean : shape (..., crankpin), [m]
        Mean.

    Returns
    -------
    crankpin_undersize : shape (..., crankpin), [m]
        Under nominal by.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> crankpin_undersize(60.000, 59.752)
    0.248
    """
    return nominal_size_crankpin - crankpin_mean


def crankpin_step_gap(crankpin_undersize: Value, undersize_step: Value) -> Value:
    r"""Distance of a crankpin's undersize from a step that is offered.

    .. math:: |u - u_{step}|

    Parameters
    ----------
    crankpin_undersize : shape (..., crankpin), [m]
        Under nominal by.
    undersize_step : shape (..., step), [m]
        Undersize offered.

    Returns
    -------
    crankpin_step_gap : shape (..., crankpin, step), [m]
        From step.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> float(crankpin_step_gap(0.248, 0.25))
    0.002
    """
    return np.abs(crankpin_undersize - undersize_step)


def crankpin_class(crankpin_step_gap: Value, undersize_step: Value, shown_length: Value) -> Value:
    r"""Undersize class of a crankpin: the offered step that is nearest.

    .. math:: u_{class} = \arg\min_{step} |u - u_{step}|

    Parameters
    ----------
    crankpin_step_gap : shape (..., crankpin, step), [m]
        From step.
    undersize_step : shape (..., step), [m]
        Undersize offered.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    crankpin_class : shape (..., crankpin), [m]
        Undersize class.

    Notes
    -----
    Of two steps equally near, the first, which is the smaller undersize. nan where no gap is known.

    Source
    ------
    Common practice.

    Examples
    --------
    >>> steps = np.array([0.0, 0.25, 0.50, 0.75, 1.00]) / 1e3
    >>> float(crankpin_class(np.abs(0.000248 - steps), steps, 0.001)) * 1e3
    0.25
    """
    return nearest_step(crankpin_step_gap, undersize_step, shown_length)


def crankpin_residual(
    crankpin_mean: Value, nominal_size_crankpin: Value, crankpin_class: Value
) -> Value:
    r"""How much bigger a crankpin is than its undersize class.

    .. math:: \bar D - (D_{nominal} - u_{class})

    Parameters
    ----------
    crankpin_mean : shape (..., crankpin), [m]
        Mean.
    nominal_size_crankpin : shape (...), [m]
        Nominal size, crankpin.
    crankpin_class : shape (..., crankpin), [m]
        Undersize class.

    Returns
    -------
    crankpin_residual : shape (..., crankpin), [m]
        Bigger (+) than the class.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> crankpin_residual(59.752, 60.000, 0.25)
    0.002
    """
    return crankpin_mean - (nominal_size_crankpin - crankpin_class)


def crankpin_step_gap_rounded(crankpin_step_gap: Value, shown_length: Value) -> Value:
    r"""Distance of the undersize from a step, at nine decimals of the shown unit, for ties.

    .. math:: |u - s|

    Parameters
    ----------
    crankpin_step_gap : shape (..., crankpin, step), [m]
        From step.
    shown_length : shape (...), [m]
        Size of the length unit that the workbook shows.

    Returns
    -------
    crankpin_step_gap_rounded : shape (..., crankpin, step), [m]
        The same to nine decimals.

    Notes
    -----
    nan where the distance is missing.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(crankpin_step_gap_rounded(0.002, 0.001))
    0.002
    """
    return rounded_nine(crankpin_step_gap / shown_length) * shown_length
