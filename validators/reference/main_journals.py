"""Main journals: sizes, form, undersize class."""

import numpy as np

from validators.reference.journal_form import nearest_step, worst_out_of_round, worst_taper
from validators.reference.measuring import size_at_reference
from validators.reference.value import Value, rounded_nine


def main_journal_size(
    main_journal_reading: Value,
    entry_form_main_journal: Value,
    setting_size_main_journal: Value,
    setting_error_main_journal: Value,
    dial_sense_main_journal: Value,
    reference_factor_main_journal: Value,
    part_factor_main_journal: Value,
    size_lowest: Value,
    size_highest: Value,
    dial_travel: Value,
) -> Value:
    r"""Size of a main journal at the reference temperature, at each of its places.

    .. math:: D = I \frac{f_g}{f_p} \qquad D = \frac{(S + e_s) f_g + s_n d}{f_p}

    Parameters
    ----------
    main_journal_reading : shape (..., main, station, across), [m]
        Main journal.
    entry_form_main_journal : shape (...), [1]
        Typed as, main journal.
    setting_size_main_journal : shape (...), [m]
        Setting size, main journal.
    setting_error_main_journal : shape (...), [m]
        Master's certificate error, main journal.
    dial_sense_main_journal : shape (...), [1]
        Dial sense, main journal.
    reference_factor_main_journal : shape (...), [1]
        Gauge or master, growth factor, main journal.
    part_factor_main_journal : shape (...), [1]
        Part, growth factor, main journal.
    size_lowest : shape (...), [m]
        Smallest size believed.
    size_highest : shape (...), [m]
        Largest size believed.
    dial_travel : shape (...), [m]
        Dial travel believed.

    Returns
    -------
    main_journal_size : shape (..., main, station, across), [m]
        Main journal at 20 °C.

    Notes
    -----
    nan where the reading cannot be right, or a growth factor is missing.

    Source
    ------
    ISO 1, reference temperature (from memory).

    Examples
    --------
    >>> typed_whole, believed = (0, np.nan, 0.0, 0), (0.0005, 0.4, 0.0015)
    >>> float(main_journal_size(0.059987, *typed_whole, 1.0, 1.0, *believed)) * 1e3
    59.987
    """
    return size_at_reference(
        reading=main_journal_reading,
        entry_form=entry_form_main_journal,
        setting_size=setting_size_main_journal,
        setting_error=setting_error_main_journal,
        dial_sense=dial_sense_main_journal,
        reference_factor=reference_factor_main_journal,
        part_factor=part_factor_main_journal,
        size_lowest=size_lowest,
        size_highest=size_highest,
        dial_travel=dial_travel,
    )


def main_journal_greatest(main_journal_size: Value) -> Value:
    r"""Largest size of a main journal: it decides the tight clearance.

    .. math:: \max D

    Parameters
    ----------
    main_journal_size : shape (..., main, station, across), [m]
        Main journal at 20 °C.

    Returns
    -------
    main_journal_greatest : shape (..., main), [m]
        Largest.

    Notes
    -----
    nan unless all four sizes are there.

    Source
    ------
    Definition; two-point size by ISO 14405-1 (from memory).

    Examples
    --------
    >>> float(main_journal_greatest(np.array([[0.059987, 0.059984], [0.059986, 0.059985]]))) * 1e3
    59.987
    """
    return np.max(main_journal_size, axis=(-2, -1))


def main_journal_mean(main_journal_size: Value) -> Value:
    r"""Mean size of a main journal: it decides the undersize class.

    .. math:: \bar D = \frac{1}{4} \sum D

    Parameters
    ----------
    main_journal_size : shape (..., main, station, across), [m]
        Main journal at 20 °C.

    Returns
    -------
    main_journal_mean : shape (..., main), [m]
        Mean.

    Notes
    -----
    nan unless all four sizes are there.

    Source
    ------
    Definition.

    Examples
    --------
    >>> float(main_journal_mean(np.array([[0.059987, 0.059984], [0.059986, 0.059985]]))) * 1e3
    59.9855
    """
    return np.mean(main_journal_size, axis=(-2, -1))


def main_journal_out_of_round(main_journal_size: Value) -> Value:
    r"""Out-of-round of a main journal: the full difference of two diameters, worst station.

    .. math:: \max_{station} |D_{first} - D_{second}|

    Parameters
    ----------
    main_journal_size : shape (..., main, station, across), [m]
        Main journal at 20 °C.

    Returns
    -------
    main_journal_out_of_round : shape (..., main), [m]
        Out-of-round.

    Notes
    -----
    nan unless all four sizes are there.

    Source
    ------
    Workshop usage; a roundness deviation by ISO 12181 is a difference of radii (from memory).

    Examples
    --------
    >>> float(main_journal_out_of_round(np.array([[59.987, 59.984], [59.986, 59.985]])))
    0.003
    """
    return worst_out_of_round(main_journal_size)


def main_journal_taper(main_journal_size: Value) -> Value:
    r"""Taper of a main journal: the full difference of two diameters, worst direction.

    .. math:: \max_{direction} |D_{front} - D_{rear}|

    Parameters
    ----------
    main_journal_size : shape (..., main, station, across), [m]
        Main journal at 20 °C.

    Returns
    -------
    main_journal_taper : shape (..., main), [m]
        Taper.

    Notes
    -----
    nan unless all four sizes are there.

    Source
    ------
    Workshop usage.

    Examples
    --------
    >>> float(main_journal_taper(np.array([[59.987, 59.984], [59.986, 59.985]])))
    0.001
    """
    return worst_taper(main_journal_size)


def main_journal_undersize(nominal_size_main_journal: Value, main_journal_mean: Value) -> Value:
    r"""How much a main journal is under its nominal size.

    .. math:: D_{nominal} - \bar D

    Parameters
    ----------
    nominal_size_main_journal : shape (...), [m]
        Nominal size, main journal.
    main_journal_mean : shape (..., main), [m]
        Mean.

    Returns
    -------
    main_journal_undersize : shape (..., main), [m]
        Under nominal by.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> main_journal_undersize(60.000, 59.752)
    0.248
    """
    return nominal_size_main_journal - main_journal_mean


def main_journal_step_gap(main_journal_undersize: Value, undersize_step: Value) -> Value:
    r"""Distance of a main journal's undersize from a step that is offered.

    .. math:: |u - u_{step}|

    Parameters
    ----------
    main_journal_undersize : shape (..., main), [m]
        Under nominal by.
    undersize_step : shape (..., step), [m]
        Undersize offered.

    Returns
    -------
    main_journal_step_gap : shape (..., main, step), [m]
        From step.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> float(main_journal_step_gap(0.248, 0.25))
    0.002
    """
    return np.abs(main_journal_undersize - undersize_step)


def main_journal_class(
    main_journal_step_gap: Value, undersize_step: Value, shown_length: Value
) -> Value:
    r"""Undersize class of a main journal: the offered step that is nearest.

    .. math:: u_{class} = \arg\min_{step} |u - u_{step}|

    Parameters
    ----------
    main_journal_step_gap : shape (..., main, step), [m]
        From step.
    undersize_step : shape (..., step), [m]
        Undersize offered.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    main_journal_class : shape (..., main), [m]
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
    >>> float(main_journal_class(np.abs(0.000248 - steps), steps, 0.001)) * 1e3
    0.25
    """
    return nearest_step(main_journal_step_gap, undersize_step, shown_length)


def main_journal_residual(
    main_journal_mean: Value, nominal_size_main_journal: Value, main_journal_class: Value
) -> Value:
    r"""How much bigger a main journal is than its undersize class.

    .. math:: \bar D - (D_{nominal} - u_{class})

    Parameters
    ----------
    main_journal_mean : shape (..., main), [m]
        Mean.
    nominal_size_main_journal : shape (...), [m]
        Nominal size, main journal.
    main_journal_class : shape (..., main), [m]
        Undersize class.

    Returns
    -------
    main_journal_residual : shape (..., main), [m]
        Bigger (+) than the class.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> main_journal_residual(59.752, 60.000, 0.25)
    0.002
    """
    return main_journal_mean - (nominal_size_main_journal - main_journal_class)


def main_journal_step_gap_rounded(main_journal_step_gap: Value, shown_length: Value) -> Value:
    r"""Distance of the undersize from a step, at nine decimals of the shown unit, for ties.

    .. math:: |u - s|

    Parameters
    ----------
    main_journal_step_gap : shape (..., main, step), [m]
        From step.
    shown_length : shape (...), [m]
        Size of the length unit that the workbook shows.

    Returns
    -------
    main_journal_step_gap_rounded : shape (..., main, step), [m]
        The same to nine decimals.

    Notes
    -----
    nan where the distance is missing.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(main_journal_step_gap_rounded(0.002, 0.001))
    0.002
    """
    return rounded_nine(main_journal_step_gap / shown_length) * shown_length
