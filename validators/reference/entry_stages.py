"""How an entry becomes a size: slope, offset and range, as the gauges sheet shows them."""

import numpy as np

from validators.reference.measuring import dial_sign
from validators.reference.value import Value, only_where
from validators.reference.words import EntryForm


def entry_slope(
    entry_form: Value,
    dial_sense: Value,
    reference_factor: Value,
    part_factor: Value,
) -> Value:
    r"""Change of the size at the reference temperature for each unit that is typed.

    .. math:: k = \frac{f_g}{f_p} \text{ or } \frac{s_n}{f_p}

    Parameters
    ----------
    entry_form : shape (..., sized), [1]
        Typed as.
    dial_sense : shape (..., sized), [1]
        Dial sense.
    reference_factor : shape (..., sized), [1]
        Gauge or master, growth factor.
    part_factor : shape (..., sized), [1]
        Part, growth factor.

    Returns
    -------
    entry_slope : shape (..., sized), [1]
        Size per unit typed.

    Notes
    -----
    nan where the form, the growth factors, or the sense of a dial that is used are missing.

    Source
    ------
    ISO 1, reference temperature (from memory).

    Examples
    --------
    >>> float(entry_slope(0.0, np.nan, 1.00005, 1.0001))
    0.99995
    >>> float(entry_slope(1.0, 1.0, 1.0, 1.0))
    -1.0
    """
    whole = only_where(np.equal(entry_form, EntryForm.SIZE), reference_factor / part_factor)
    known = ~np.isnan(reference_factor) & np.equal(entry_form, EntryForm.DEVIATION)
    by_dial = only_where(known, dial_sign(dial_sense) / part_factor)
    return np.where(np.isnan(whole), by_dial, whole)


def entry_offset(
    entry_form: Value,
    setting_size: Value,
    setting_error: Value,
    reference_factor: Value,
    part_factor: Value,
) -> Value:
    r"""Size at the reference temperature that a typed zero stands for.

    .. math:: D_0 = 0 \text{ or } \frac{(S + e_s) f_g}{f_p}

    Parameters
    ----------
    entry_form : shape (..., sized), [1]
        Typed as.
    setting_size : shape (..., sized), [m]
        Setting size.
    setting_error : shape (..., sized), [m]
        Master's certificate error.
    reference_factor : shape (..., sized), [1]
        Gauge or master, growth factor.
    part_factor : shape (..., sized), [1]
        Part, growth factor.

    Returns
    -------
    entry_offset : shape (..., sized), [m]
        Size at a typed zero.

    Notes
    -----
    Zero for whole sizes; nan where the form, or what a deviation starts from, is missing.

    Source
    ------
    ISO 1, reference temperature (from memory).

    Examples
    --------
    >>> float(entry_offset(1.0, 0.086, 0.0000013, 1.0, 1.0)) * 1e3
    86.0013
    >>> float(entry_offset(0.0, np.nan, np.nan, np.nan, np.nan))
    0.0
    """
    start = (setting_size + setting_error) * reference_factor / part_factor
    from_master = only_where(np.equal(entry_form, EntryForm.DEVIATION), start)
    whole = np.equal(entry_form, EntryForm.SIZE)
    return np.where(whole, 0.0, from_master)


def bore_entry_offset(
    entry_form_bore: Value,
    bore_setting_used: Value,
    setting_error_bore: Value,
    reference_factor_bore: Value,
    part_factor_bore: Value,
) -> Value:
    r"""Size at the reference temperature that a typed zero stands for.

    .. math:: D_0 = 0 \text{ or } \frac{(S + e_s) f_g}{f_p}

    Parameters
    ----------
    entry_form_bore : shape (...), [1]
        Typed as.
    bore_setting_used : shape (..., cylinder), [m]
        Setting size used.
    setting_error_bore : shape (...), [m]
        Master's certificate error.
    reference_factor_bore : shape (...), [1]
        Gauge or master, growth factor.
    part_factor_bore : shape (...), [1]
        Part, growth factor.

    Returns
    -------
    bore_entry_offset : shape (..., cylinder), [m]
        Size at a typed zero.

    Notes
    -----
    Zero for whole sizes; nan where the form, or what a deviation starts from, is missing.

    Source
    ------
    ISO 1, reference temperature (from memory).

    Examples
    --------
    >>> float(bore_entry_offset(1.0, 0.086, 0.0000013, 1.0, 1.0)) * 1e3
    86.0013
    >>> float(bore_entry_offset(0.0, np.nan, np.nan, np.nan, np.nan))
    0.0
    """
    start = (bore_setting_used + setting_error_bore) * reference_factor_bore / part_factor_bore
    from_master = only_where(np.equal(entry_form_bore, EntryForm.DEVIATION), start)
    whole = np.equal(entry_form_bore, EntryForm.SIZE)
    return np.where(whole, 0.0, from_master)


def entry_lowest(
    entry_form: Value,
    size_lowest: Value,
    dial_travel: Value,
) -> Value:
    r"""Least entry that can be right.

    .. math:: x \ge x_{min}

    Parameters
    ----------
    entry_form : shape (..., sized), [1]
        Typed as.
    size_lowest : shape (...), [m]
        Smallest size believed.
    dial_travel : shape (...), [m]
        Dial travel believed.

    Returns
    -------
    entry_lowest : shape (..., sized), [m]
        Entry believed from.

    Notes
    -----
    nan where the form is missing.

    Source
    ------
    ISO 1, reference temperature (from memory).

    Examples
    --------
    >>> float(entry_lowest(1.0, 0.0005, 0.0015)) * 1e3
    -1.5
    """
    whole = only_where(np.equal(entry_form, EntryForm.SIZE), size_lowest)
    by_dial = only_where(np.equal(entry_form, EntryForm.DEVIATION), -dial_travel)
    return np.where(np.isnan(whole), by_dial, whole)


def entry_highest(
    entry_form: Value,
    size_highest: Value,
    dial_travel: Value,
) -> Value:
    r"""Greatest entry that can be right.

    .. math:: x \le x_{max}

    Parameters
    ----------
    entry_form : shape (..., sized), [1]
        Typed as.
    size_highest : shape (...), [m]
        Largest size believed.
    dial_travel : shape (...), [m]
        Dial travel believed.

    Returns
    -------
    entry_highest : shape (..., sized), [m]
        Entry believed to.

    Notes
    -----
    nan where the form is missing.

    Source
    ------
    ISO 1, reference temperature (from memory).

    Examples
    --------
    >>> float(entry_highest(1.0, 0.0005, 0.0015)) * 1e3
    1.5
    """
    whole = only_where(np.equal(entry_form, EntryForm.SIZE), size_highest)
    by_dial = only_where(np.equal(entry_form, EntryForm.DEVIATION), dial_travel)
    return np.where(np.isnan(whole), by_dial, whole)
