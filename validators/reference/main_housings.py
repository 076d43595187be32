"""Main bearing housings: sizes and form, without and with their shells."""

import numpy as np

from validators.reference.measuring import size_at_reference
from validators.reference.value import Value, only_where


def main_housing_size(
    main_housing_reading: Value,
    entry_form_main_housing: Value,
    setting_size_main_housing: Value,
    setting_error_main_housing: Value,
    dial_sense_main_housing: Value,
    reference_factor_main_housing: Value,
    part_factor_main_housing: Value,
    size_lowest: Value,
    size_highest: Value,
    dial_travel: Value,
) -> Value:
    r"""Size of a main bearing housing at the reference temperature, at each of its angles.

    .. math:: D = I \frac{f_g}{f_p} \qquad D = \frac{(S + e_s) f_g + s_n d}{f_p}

    Parameters
    ----------
    main_housing_reading : shape (..., main, angle), [m]
        Main housing.
    entry_form_main_housing : shape (...), [1]
        Typed as, main housing.
    setting_size_main_housing : shape (...), [m]
        Setting size, main housing.
    setting_error_main_housing : shape (...), [m]
        Master's certificate error, main housing.
    dial_sense_main_housing : shape (...), [1]
        Dial sense, main housing.
    reference_factor_main_housing : shape (...), [1]
        Gauge or master, growth factor, main housing.
    part_factor_main_housing : shape (...), [1]
        Part, growth factor, main housing.
    size_lowest : shape (...), [m]
        Smallest size believed.
    size_highest : shape (...), [m]
        Largest size believed.
    dial_travel : shape (...), [m]
        Dial travel believed.

    Returns
    -------
    main_housing_size : shape (..., main, angle), [m]
        Main housing at 20 °C.

    Notes
    -----
    nan where the reading cannot be right, or a growth factor is missing.

    Source
    ------
    ISO 1, reference temperature (from memory).

    Examples
    --------
    >>> typed_whole, believed = (0, np.nan, 0.0, 0), (0.0005, 0.4, 0.0015)
    >>> float(main_housing_size(0.064004, *typed_whole, 1.0, 1.0, *believed)) * 1e3
    64.004
    """
    return size_at_reference(
        reading=main_housing_reading,
        entry_form=entry_form_main_housing,
        setting_size=setting_size_main_housing,
        setting_error=setting_error_main_housing,
        dial_sense=dial_sense_main_housing,
        reference_factor=reference_factor_main_housing,
        part_factor=part_factor_main_housing,
        size_lowest=size_lowest,
        size_highest=size_highest,
        dial_travel=dial_travel,
    )


def main_housing_least(main_housing_size: Value) -> Value:
    r"""Smallest size of a main bearing housing.

    .. math:: \min H

    Parameters
    ----------
    main_housing_size : shape (..., main, angle), [m]
        Main housing at 20 °C.

    Returns
    -------
    main_housing_least : shape (..., main), [m]
        Housing, smallest.

    Notes
    -----
    nan unless all three sizes are there.

    Source
    ------
    Definition; two-point size by ISO 14405-1 (from memory).

    Examples
    --------
    >>> float(main_housing_least(np.array([64.004, 64.006, 64.003])))
    64.003
    """
    return np.min(main_housing_size, axis=-1)


def main_housing_greatest(main_housing_size: Value) -> Value:
    r"""Largest size of a main bearing housing.

    .. math:: \max H

    Parameters
    ----------
    main_housing_size : shape (..., main, angle), [m]
        Main housing at 20 °C.

    Returns
    -------
    main_housing_greatest : shape (..., main), [m]
        Housing, largest.

    Notes
    -----
    nan unless all three sizes are there.

    Source
    ------
    Definition; two-point size by ISO 14405-1 (from memory).

    Examples
    --------
    >>> float(main_housing_greatest(np.array([64.004, 64.006, 64.003])))
    64.006
    """
    return np.max(main_housing_size, axis=-1)


def main_housing_out_of_round(main_housing_greatest: Value, main_housing_least: Value) -> Value:
    r"""Out-of-round of a main bearing housing: the full difference of its diameters.

    .. math:: \max H - \min H

    Parameters
    ----------
    main_housing_greatest : shape (..., main), [m]
        Housing, largest.
    main_housing_least : shape (..., main), [m]
        Housing, smallest.

    Returns
    -------
    main_housing_out_of_round : shape (..., main), [m]
        Housing out-of-round.

    Notes
    -----
    nan unless all three sizes are there.

    Source
    ------
    Workshop usage; a roundness deviation by ISO 12181 is a difference of radii (from memory).

    Examples
    --------
    >>> main_housing_out_of_round(64.006, 64.003)
    0.003
    """
    return main_housing_greatest - main_housing_least


def main_installed_bore_size(
    main_installed_bore: Value,
    reference_factor_main_housing: Value,
    part_factor_main_housing: Value,
    size_lowest: Value,
    size_highest: Value,
) -> Value:
    r"""Size of the bore of the installed shells at the reference temperature.

    .. math:: D = I \frac{f_g}{f_p}

    Parameters
    ----------
    main_installed_bore : shape (..., main), [m]
        Installed shell bore, a whole size whatever the form of the housing's readings.
    reference_factor_main_housing : shape (...), [1]
        Gauge or master, growth factor, main housing.
    part_factor_main_housing : shape (...), [1]
        Part, growth factor, main housing.
    size_lowest : shape (...), [m]
        Smallest size believed.
    size_highest : shape (...), [m]
        Largest size believed.

    Returns
    -------
    main_installed_bore_size : shape (..., main), [m]
        Installed shell bore at 20 °C.

    Notes
    -----
    nan where there is no reading, it is outside the believed sizes, or a growth factor is missing. It
    is measured with the gauge of the housing, and expands with it.

    Source
    ------
    ISO 1, reference temperature (from memory).

    Examples
    --------
    >>> float(main_installed_bore_size(0.060036, 1.0, 1.0, 0.0005, 0.4)) * 1e3
    60.036
    """
    believed = (main_installed_bore >= size_lowest) & (main_installed_bore <= size_highest)
    size = main_installed_bore * reference_factor_main_housing / part_factor_main_housing
    return only_where(believed, size)
