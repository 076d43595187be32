"""Uncertainty of one gauge and of one size, and the guard bands from it."""

import math

import numpy as np

from validators.reference.value import Value, only_where
from validators.reference.words import GaugeUse, YesNo


def reading_uncertainty(
    gauge_use: Value,
    gauge_resolution: Value,
    gauge_repeat_spread: Value,
    gauge_repeat_count: Value,
) -> Value:
    r"""Standard uncertainty from the resolution of a gauge and from repeats.

    .. math:: u_r = \sqrt{z \frac{r^2}{12} + \frac{s^2}{n}}

    Parameters
    ----------
    gauge_use : shape (..., feature), [1]
        z is 1 for a gauge that is read directly, 2 for one that is set on a master.
    gauge_resolution : shape (..., feature), [m]
    gauge_repeat_spread : shape (..., feature), [m]
    gauge_repeat_count : shape (..., feature), [1]

    Returns
    -------
    reading_uncertainty : shape (..., feature), [m]

    Notes
    -----
    nan if the use is missing or fewer than one reading is averaged.

    Source
    ------
    JCGM 100, 4.2.3 and F.2.2.1 (from memory).

    Examples
    --------
    >>> float(reading_uncertainty(GaugeUse.READ_DIRECTLY, 1e-6, 0.8e-6, 3)) * 1e6
    0.5446712
    """
    directly = np.equal(gauge_use, GaugeUse.READ_DIRECTLY)
    on_a_master = np.equal(gauge_use, GaugeUse.SET_ON_A_MASTER)
    times_read = np.where(directly, 1.0, np.where(on_a_master, 2.0, np.nan))
    count = only_where(gauge_repeat_count >= 1, gauge_repeat_count)
    return np.sqrt(times_read * gauge_resolution**2 / 12 + gauge_repeat_spread**2 / count)


def calibration_uncertainty(
    gauge_certificate_uncertainty: Value, gauge_certificate_factor: Value
) -> Value:
    r"""Standard uncertainty from the calibration certificate of a gauge.

    .. math:: u_c = U / k

    Parameters
    ----------
    gauge_certificate_uncertainty : shape (..., feature), [m]
    gauge_certificate_factor : shape (..., feature), [1]

    Returns
    -------
    calibration_uncertainty : shape (..., feature), [m]

    Notes
    -----
    nan if the factor is not positive.

    Source
    ------
    JCGM 100, 4.3.3 (from memory).

    Examples
    --------
    >>> float(calibration_uncertainty(1.5e-6, 2.0)) * 1e6
    0.75
    """
    factor = only_where(gauge_certificate_factor > 0, gauge_certificate_factor)
    return gauge_certificate_uncertainty / factor


def plain_guard(
    guard_factor: Value, reading_uncertainty: Value, calibration_uncertainty: Value
) -> Value:
    r"""Guard band of one reading as it stands, without temperature.

    .. math:: U = k \sqrt{u_r^2 + u_c^2}

    Parameters
    ----------
    guard_factor : shape (...), [1]
    reading_uncertainty : shape (..., feature), [m]
    calibration_uncertainty : shape (..., feature), [m]

    Returns
    -------
    plain_guard : shape (..., feature), [m]

    Notes
    -----
    nan where an input is nan.

    Source
    ------
    JCGM 100, 5.1.2 and 6.2.1 (from memory).

    Examples
    --------
    >>> float(plain_guard(2.0, 3e-6, 4e-6)) * 1e6
    10.0
    """
    return guard_factor * np.sqrt(reading_uncertainty**2 + calibration_uncertainty**2)


def form_guard(guard_factor: Value, reading_uncertainty: Value) -> Value:
    r"""Guard band of the difference of two readings of one gauge: its calibration cancels.

    .. math:: U = k \sqrt{2} \, u_r

    Parameters
    ----------
    guard_factor : shape (...), [1]
    reading_uncertainty : shape (..., feature), [m]

    Returns
    -------
    form_guard : shape (..., feature), [m]

    Notes
    -----
    nan where an input is nan.

    Source
    ------
    JCGM 100, 5.2.2, with correlation one between the two calibration errors (from memory).

    Examples
    --------
    >>> float(form_guard(2.0, 1e-6)) * 1e6
    2.8284271
    """
    return guard_factor * math.sqrt(2) * reading_uncertainty


def thermometer_uncertainty(thermometer_bound: Value) -> Value:
    r"""Standard uncertainty of a thermometer that is good to within a bound.

    .. math:: u_T = a / \sqrt{3}

    Parameters
    ----------
    thermometer_bound : shape (...), [K]

    Returns
    -------
    thermometer_uncertainty : shape (...), [K]

    Notes
    -----
    nan where the bound is nan.

    Source
    ------
    JCGM 100, 4.3.7, rectangular distribution (from memory).

    Examples
    --------
    >>> float(thermometer_uncertainty(1.0))
    0.57735027
    """
    return thermometer_bound / math.sqrt(3)


def temperature_sensitivity(
    nominal_size: Value, reference_expansion: Value, body_expansion: Value
) -> Value:
    r"""Change of a size at 20 °C per kelvin of error that part and gauge share.

    .. math:: c = D (\alpha_g - \alpha_p)

    Parameters
    ----------
    nominal_size : shape (..., sized), [m]
    reference_expansion : shape (..., sized), [1/K]
    body_expansion : shape (..., body), [1/K]
        Taken for the body that carries the feature.

    Returns
    -------
    temperature_sensitivity : shape (..., sized), [m/K]

    Notes
    -----
    First order, with the nominal size; nan where an input is nan.

    Source
    ------
    JCGM 100, 5.1.3, sensitivity coefficients (from memory).

    Examples
    --------
    >>> float(temperature_sensitivity(0.086, 11.5e-6, 21.5e-6)) * 1e6
    -0.86
    """
    return nominal_size * (reference_expansion - body_expansion)


def temperature_uncertainty(
    nominal_size: Value,
    reference_expansion: Value,
    body_expansion: Value,
    temperature_sensitivity: Value,
    thermometer_uncertainty: Value,
    one_thermometer: Value,
) -> Value:
    r"""Standard uncertainty of a size from the temperatures of part and gauge.

    .. math::
        u_t = |c| u_T \text{ with one thermometer, }
        D \sqrt{\alpha_g^2 + \alpha_p^2} \, u_T \text{ with several}

    Parameters
    ----------
    nominal_size : shape (..., sized), [m]
    reference_expansion : shape (..., sized), [1/K]
    body_expansion : shape (..., body), [1/K]
        Taken for the body that carries the feature.
    temperature_sensitivity : shape (..., sized), [m/K]
    thermometer_uncertainty : shape (...), [K]
    one_thermometer : shape (...), [1]

    Returns
    -------
    temperature_uncertainty : shape (..., sized), [m]

    Notes
    -----
    nan if it is not said whether one thermometer was used.

    Source
    ------
    JCGM 100, 5.1.2 and 5.2.2 (from memory).

    Examples
    --------
    >>> float(temperature_uncertainty(0.1, 3e-6, 4e-6, -1e-7, 1.0, YesNo.NO)) * 1e6
    0.5
    >>> float(temperature_uncertainty(0.1, 3e-6, 4e-6, -1e-7, 1.0, YesNo.YES)) * 1e6
    0.1
    """
    together = np.abs(temperature_sensitivity) * thermometer_uncertainty
    apart = (
        nominal_size * np.sqrt(reference_expansion**2 + body_expansion**2) * thermometer_uncertainty
    )
    one = np.equal(one_thermometer, YesNo.YES)
    several = np.equal(one_thermometer, YesNo.NO)
    return np.where(one, together, np.where(several, apart, np.nan))


def expansion_term(
    nominal_size: Value,
    expansion_uncertainty: Value,
    part_temperature: Value,
    gauge_temperature: Value,
    reference_temperature: Value,
) -> Value:
    r"""Standard uncertainty of a size from the expansion figures of part and gauge.

    .. math:: u_\alpha = D \, u(\alpha) \sqrt{(T_p - T_{ref})^2 + (T_g - T_{ref})^2}

    Parameters
    ----------
    nominal_size : shape (..., sized), [m]
    expansion_uncertainty : shape (...), [1/K]
    part_temperature : shape (..., sized), [K]
    gauge_temperature : shape (..., sized), [K]
    reference_temperature : shape (...), [K]

    Returns
    -------
    expansion_term : shape (..., sized), [m]

    Notes
    -----
    First order, with the nominal size; vanishes at the reference temperature.

    Source
    ------
    JCGM 100, 5.1.2 (from memory).

    Examples
    --------
    >>> float(expansion_term(0.1, 1e-6, 296.15, 297.15, 293.15)) * 1e6
    0.5
    """
    part_rise = part_temperature - reference_temperature
    gauge_rise = gauge_temperature - reference_temperature
    return nominal_size * expansion_uncertainty * np.sqrt(part_rise**2 + gauge_rise**2)


def size_guard(
    guard_factor: Value,
    reading_uncertainty: Value,
    calibration_uncertainty: Value,
    temperature_uncertainty: Value,
    expansion_term: Value,
) -> Value:
    r"""Guard band of one size at 20 °C.

    .. math:: U = k \sqrt{u_r^2 + u_c^2 + u_t^2 + u_\alpha^2}

    Parameters
    ----------
    guard_factor : shape (...), [1]
    reading_uncertainty : shape (..., feature), [m]
    calibration_uncertainty : shape (..., feature), [m]
    temperature_uncertainty : shape (..., sized), [m]
    expansion_term : shape (..., sized), [m]

    Returns
    -------
    size_guard : shape (..., sized), [m]

    Notes
    -----
    nan where an input is nan.

    Source
    ------
    JCGM 100, 5.1.2 and 6.2.1 (from memory).

    Examples
    --------
    >>> float(size_guard(2.0, 1e-6, 1e-6, 1e-6, 1e-6)) * 1e6
    4.0
    """
    return guard_factor * np.sqrt(
        reading_uncertainty**2
        + calibration_uncertainty**2
        + temperature_uncertainty**2
        + expansion_term**2
    )


def volume_guard(
    guard_factor: Value,
    burette_resolution: Value,
    burette_uncertainty: Value,
    burette_factor: Value,
) -> Value:
    r"""Guard band of a volume by burette: the meniscus is read before and after.

    .. math:: U = k \sqrt{2 \frac{r^2}{12} + \left(\frac{U_b}{k_b}\right)^2}

    Parameters
    ----------
    guard_factor : shape (...), [1]
    burette_resolution : shape (...), [m^3]
    burette_uncertainty : shape (...), [m^3]
    burette_factor : shape (...), [1]

    Returns
    -------
    volume_guard : shape (...), [m^3]

    Notes
    -----
    nan if the certificate factor is not positive.

    Source
    ------
    JCGM 100, 4.3.7 and 5.1.2 (from memory).

    Examples
    --------
    >>> float(volume_guard(2.0, 0.6e-6, 0.2e-6, 2.0)) * 1e6
    0.52915026
    """
    factor = only_where(burette_factor > 0, burette_factor)
    return guard_factor * np.sqrt(
        2 * burette_resolution**2 / 12 + (burette_uncertainty / factor) ** 2
    )
