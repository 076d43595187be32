"""Rod bearing housings: sizes and form, without and with their shells."""

import numpy as np

from validators.reference.measuring import size_at_reference
from validators.reference.value import Value, only_where


def rod_housing_size(
    rod_housing_reading: Value,
    entry_form_rod_housing: Value,
    setting_size_rod_housing: Value,
    setting_error_rod_housing: Value,
    dial_sense_rod_housing: Value,
    reference_factor_rod_housing: Value,
    part_factor_rod_housing: Value,
    size_lowest: Value,
    size_highest: Value,
    dial_travel: Value,
) -> Value:
    r"""Size of a rod bearing housing at the reference temperature, at each of its angles.

    .. math:: D = I \frac{f_g}{f_p} \qquad D = \frac{(S + e_s) f_g + s_n d}{f_p}

    Parameters
    ----------
    rod_housing_reading : shape (..., cylinder, angle), [m]
        Rod housing.
    entry_form_rod_housing : shape (...), [1]
        Typed as, rod housing.
    setting_size_rod_housing : shape (...), [m]
        Setting size, rod housing.
    setting_error_rod_housing : shape (...), [m]
        Master's certificate error, rod housing.
    dial_sense_rod_housing : shape (...), [1]
        Dial sense, rod housing.
    reference_factor_rod_housing : shape (...), [1]
        Gauge or master, growth factor, rod housing.
    part_factor_rod_housing : shape (...), [1]
        Part, growth factor, rod housing.
    size_lowest : shape (...), [m]
        Smallest size believed.
    size_highest : shape (...), [m]
        Largest size believed.
    dial_travel : shape (...), [m]
        Dial travel believed.

    Returns
    -------
    rod_housing_size : shape (..., cylinder, angle), [m]
        Rod housing at 20 °C.

    Notes
    -----
    nan where the reading cannot be right, or a growth factor is missing.

    Source
    ------
    ISO 1, reference temperature (from memory).

    Examples
    --------
    >>> typed_whole, believed = (0, np.nan, 0.0, 0), (0.0005, 0.4, 0.0015)
    >>> float(rod_housing_size(0.064004, *typed_whole, 1.0, 1.0, *believed)) * 1e3
    64.004
    """
    return size_at_reference(
        reading=rod_housing_reading,
        entry_form=entry_form_rod_housing,
        setting_size=setting_size_rod_housing,
        setting_error=setting_error_rod_housing,
        dial_sense=dial_sense_rod_housing,
        reference_factor=reference_factor_rod_housing,
        part_factor=part_factor_rod_housing,
        size_lowest=size_lowest,
        size_highest=size_highest,
        dial_travel=dial_travel,
    )


def rod_housing_least(rod_housing_size: Value) -> Value:
    r"""Smallest size of a rod bearing housing.

    .. math:: \min H

    Parameters
    ----------
    rod_housing_size : shape (..., cylinder, angle), [m]
        Rod housing at 20 °C.

    Returns
    -------
    rod_housing_least : shape (..., cylinder), [m]
        Housing, smallest.

    Notes
    -----
    nan unless all three sizes are there.

    Source
    ------
    Definition; two-point size by ISO 14405-1 (from memory).

    Examples
    --------
    >>> float(rod_housing_least(np.array([64.004, 64.006, 64.003])))
    64.003
    """
    return np.min(rod_housing_size, axis=-1)


def rod_housing_greatest(rod_housing_size: Value) -> Value:
    r"""Largest size of a rod bearing housing.

    .. math:: \max H

    Parameters
    ----------
    rod_housing_size : shape (..., cylinder, angle), [m]
        Rod housing at 20 °C.

    Returns
    -------
    rod_housing_greatest : shape (..., cylinder), [m]
        Housing, largest.

    Notes
    -----
    nan unless all three sizes are there.

    Source
    ------
    Definition; two-point size by ISO 14405-1 (from memory).

    Examples
    --------
    >>> float(rod_housing_greatest(np.array([64.004, 64.006, 64.003])))
    64.006
    """
    return np.max(rod_housing_size, axis=-1)


def rod_housing_out_of_round(rod_housing_greatest: Value, rod_housing_least: Value) -> Value:
    r"""Out-of-round of a rod bearing housing: the full difference of its diameters.

    .. math:: \max H - \min H

    Parameters
    ----------
    rod_housing_greatest : shape (..., cylinder), [m]
        Housing, largest.
    rod_housing_least : shape (..., cylinder), [m]
        Housing, smallest.

    Returns
    -------
    rod_housing_out_of_round : shape (..., cylinder), [m]
        Housing out-of-round.

    Notes
    -----
    nan unless all three sizes are there.

    Source
    ------
    Workshop usage; a roundness deviation by ISO 12181 is a difference of radii (from memory).

    Examples
    --------
    >>> rod_housing_out_of_round(64.006, 64.003)
    0.003
    """
    return rod_housing_greatest - rod_housing_least


def rod_installed_bore_size(
    rod_installed_bore: Value,
    reference_factor_rod_housing: Value,
    part_factor_rod_housing: Value,
    size_lowest: Value,
    size_highest: Value,
) -> Value:
    r"""Size of the bore of the installed shells at the reference temperature.

    .. math:: D = I \frac{f_g}{f_p}

    Parameters
    ----------
    rod_installed_bore : shape (..., cylinder), [m]
        Installed shell bore, a whole size whatever the form of the housing's readings.
    reference_factor_rod_housing : shape (...), [1]
        Gauge or master, growth factor, rod housing.
    part_factor_rod_housing : shape (...), [1]
        Part, growth factor, rod housing.
    size_lowest : shape (...), [m]
        Smallest size believed.
    size_highest : shape (...), [m]
        Largest size believed.

    Returns
    -------
    rod_installed_bore_size : shape (..., cylinder), [m]
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
    >>> float(rod_installed_bore_size(0.060036, 1.0, 1.0, 0.0005, 0.4)) * 1e3
    60.036
    """
    believed = (rod_installed_bore >= size_lowest) & (rod_installed_bore <= size_highest)
    size = rod_installed_bore * reference_factor_rod_housing / part_factor_rod_housing
    return only_where(believed, size)
