"""Uncertainty of a clearance: a hole minus a shaft, with or without two shell walls."""

import numpy as np

from validators.reference.value import Value
from validators.reference.words import YesNo


def fit_calibration_uncertainty(
    calibration_uncertainty_of_hole: Value,
    calibration_uncertainty_of_shaft: Value,
    shared_gauge: Value,
) -> Value:
    r"""Standard uncertainty of a clearance from the calibration of both gauges.

    .. math:: u_c = 0 \text{ if shared, else } \sqrt{u_{c,h}^2 + u_{c,s}^2}

    Parameters
    ----------
    calibration_uncertainty_of_hole : shape (..., fit), [m]
    calibration_uncertainty_of_shaft : shape (..., fit), [m]
    shared_gauge : shape (..., fit), [1]
        Yes if the hole gauge was zeroed on the micrometer that measured the shaft.

    Returns
    -------
    fit_calibration_uncertainty : shape (..., fit), [m]

    Notes
    -----
    With a shared gauge the common error cancels and no certificate is needed. nan if it is not
    said whether the gauge is shared.

    Source
    ------
    JCGM 100, 5.2.2, with correlation one for a shared gauge (from memory).

    Examples
    --------
    >>> float(fit_calibration_uncertainty(3e-6, 4e-6, YesNo.NO)) * 1e6
    5.0
    >>> float(fit_calibration_uncertainty(3e-6, 4e-6, YesNo.YES))
    0.0
    """
    apart = np.sqrt(calibration_uncertainty_of_hole**2 + calibration_uncertainty_of_shaft**2)
    shared = np.equal(shared_gauge, YesNo.YES)
    not_shared = np.equal(shared_gauge, YesNo.NO)
    return np.where(shared, 0.0, np.where(not_shared, apart, np.nan))


def fit_temperature_uncertainty(
    temperature_sensitivity_of_hole: Value,
    temperature_sensitivity_of_shaft: Value,
    temperature_uncertainty_of_hole: Value,
    temperature_uncertainty_of_shaft: Value,
    thermometer_uncertainty: Value,
    one_thermometer: Value,
) -> Value:
    r"""Standard uncertainty of a clearance from the temperatures of all four bodies.

    .. math::
        u_t = |c_h - c_s| u_T \text{ with one thermometer, }
        \sqrt{u_{t,h}^2 + u_{t,s}^2} \text{ with several}

    Parameters
    ----------
    temperature_sensitivity_of_hole : shape (..., fit), [m/K]
    temperature_sensitivity_of_shaft : shape (..., fit), [m/K]
    temperature_uncertainty_of_hole : shape (..., fit), [m]
    temperature_uncertainty_of_shaft : shape (..., fit), [m]
    thermometer_uncertainty : shape (...), [K]
    one_thermometer : shape (...), [1]

    Returns
    -------
    fit_temperature_uncertainty : shape (..., fit), [m]

    Notes
    -----
    nan if it is not said whether one thermometer was used.

    Source
    ------
    JCGM 100, 5.2.2 (from memory).

    Examples
    --------
    >>> float(fit_temperature_uncertainty(-8e-7, -5e-7, 8e-7, 5e-7, 0.5, YesNo.YES)) * 1e6
    0.15
    >>> float(fit_temperature_uncertainty(-8e-7, -6e-7, 8e-7, 6e-7, 1.0, YesNo.NO)) * 1e6
    1.0
    """
    difference = temperature_sensitivity_of_hole - temperature_sensitivity_of_shaft
    together = np.abs(difference) * thermometer_uncertainty
    apart = np.sqrt(temperature_uncertainty_of_hole**2 + temperature_uncertainty_of_shaft**2)
    one = np.equal(one_thermometer, YesNo.YES)
    several = np.equal(one_thermometer, YesNo.NO)
    return np.where(one, together, np.where(several, apart, np.nan))


def fit_uncertainty(
    reading_uncertainty_of_hole: Value,
    reading_uncertainty_of_shaft: Value,
    fit_calibration_uncertainty: Value,
    fit_temperature_uncertainty: Value,
    expansion_term_of_hole: Value,
    expansion_term_of_shaft: Value,
) -> Value:
    r"""Standard uncertainty of a clearance, hole minus shaft.

    .. math:: u = \sqrt{u_{r,h}^2 + u_{r,s}^2 + u_c^2 + u_t^2 + u_{\alpha,h}^2 + u_{\alpha,s}^2}

    Parameters
    ----------
    reading_uncertainty_of_hole : shape (..., fit), [m]
    reading_uncertainty_of_shaft : shape (..., fit), [m]
    fit_calibration_uncertainty : shape (..., fit), [m]
    fit_temperature_uncertainty : shape (..., fit), [m]
    expansion_term_of_hole : shape (..., fit), [m]
    expansion_term_of_shaft : shape (..., fit), [m]

    Returns
    -------
    fit_uncertainty : shape (..., fit), [m]

    Notes
    -----
    nan where an input is nan.

    Source
    ------
    JCGM 100, 5.1.2 (from memory).

    Examples
    --------
    >>> float(fit_uncertainty(2e-6, 2e-6, 4e-6, 4e-6, 0.0, 3e-6)) * 1e6
    7.0
    """
    return np.sqrt(
        reading_uncertainty_of_hole**2
        + reading_uncertainty_of_shaft**2
        + fit_calibration_uncertainty**2
        + fit_temperature_uncertainty**2
        + expansion_term_of_hole**2
        + expansion_term_of_shaft**2
    )


def fit_guard(guard_factor: Value, fit_uncertainty: Value) -> Value:
    r"""Guard band of a clearance, hole minus shaft.

    .. math:: U = k u

    Parameters
    ----------
    guard_factor : shape (...), [1]
    fit_uncertainty : shape (..., fit), [m]

    Returns
    -------
    fit_guard : shape (..., fit), [m]

    Notes
    -----
    nan where an input is nan.

    Source
    ------
    JCGM 100, 6.2.1 (from memory).

    Examples
    --------
    >>> float(fit_guard(2.0, 1.5e-6)) * 1e6
    3.0
    """
    return guard_factor * fit_uncertainty


def wall_uncertainty(
    reading_uncertainty_shell_wall: Value,
    calibration_uncertainty_shell_wall: Value,
    temperature_uncertainty_shell_wall: Value,
    expansion_term_shell_wall: Value,
) -> Value:
    r"""Standard uncertainty of two shell walls together, measured with one micrometer.

    .. math:: u_w = \sqrt{2 u_r^2 + 4 (u_c^2 + u_t^2 + u_\alpha^2)}

    Parameters
    ----------
    reading_uncertainty_shell_wall : shape (...), [m]
    calibration_uncertainty_shell_wall : shape (...), [m]
    temperature_uncertainty_shell_wall : shape (...), [m]
    expansion_term_shell_wall : shape (...), [m]

    Returns
    -------
    wall_uncertainty : shape (...), [m]

    Notes
    -----
    The two readings are independent; every other error is common to both walls and counts twice.

    Source
    ------
    JCGM 100, 5.2.2, with correlation one for the common errors (from memory).

    Examples
    --------
    >>> float(wall_uncertainty(2e-6, 1e-6, 0.0, 1e-6)) * 1e6
    4.0
    """
    return np.sqrt(
        2 * reading_uncertainty_shell_wall**2
        + 4
        * (
            calibration_uncertainty_shell_wall**2
            + temperature_uncertainty_shell_wall**2
            + expansion_term_shell_wall**2
        )
    )


def main_clearance_uncertainty(fit_uncertainty_main: Value, wall_uncertainty: Value) -> Value:
    r"""Standard uncertainty of a main bearing clearance: housing, journal and two walls.

    .. math:: u = \sqrt{u_{fit}^2 + u_w^2}

    Parameters
    ----------
    fit_uncertainty_main : shape (...), [m]
    wall_uncertainty : shape (...), [m]

    Returns
    -------
    main_clearance_uncertainty : shape (...), [m]

    Notes
    -----
    nan where an input is nan.

    Source
    ------
    JCGM 100, 5.1.2 (from memory).

    Examples
    --------
    >>> float(main_clearance_uncertainty(3e-6, 4e-6)) * 1e6
    5.0
    """
    return np.sqrt(fit_uncertainty_main**2 + wall_uncertainty**2)


def rod_clearance_uncertainty(fit_uncertainty_rod: Value, wall_uncertainty: Value) -> Value:
    r"""Standard uncertainty of a rod bearing clearance: housing, crankpin and two walls.

    .. math:: u = \sqrt{u_{fit}^2 + u_w^2}

    Parameters
    ----------
    fit_uncertainty_rod : shape (...), [m]
    wall_uncertainty : shape (...), [m]

    Returns
    -------
    rod_clearance_uncertainty : shape (...), [m]

    Notes
    -----
    nan where an input is nan.

    Source
    ------
    JCGM 100, 5.1.2 (from memory).

    Examples
    --------
    >>> float(rod_clearance_uncertainty(3e-6, 4e-6)) * 1e6
    5.0
    """
    return np.sqrt(fit_uncertainty_rod**2 + wall_uncertainty**2)


def main_clearance_guard(guard_factor: Value, main_clearance_uncertainty: Value) -> Value:
    r"""Guard band of a main bearing clearance.

    .. math:: U = k u

    Parameters
    ----------
    guard_factor : shape (...), [1]
    main_clearance_uncertainty : shape (...), [m]

    Returns
    -------
    main_clearance_guard : shape (...), [m]

    Notes
    -----
    nan where an input is nan.

    Source
    ------
    JCGM 100, 6.2.1 (from memory).

    Examples
    --------
    >>> float(main_clearance_guard(2.0, 2.5e-6)) * 1e6
    5.0
    """
    return guard_factor * main_clearance_uncertainty


def rod_clearance_guard(guard_factor: Value, rod_clearance_uncertainty: Value) -> Value:
    r"""Guard band of a rod bearing clearance.

    .. math:: U = k u

    Parameters
    ----------
    guard_factor : shape (...), [1]
    rod_clearance_uncertainty : shape (...), [m]

    Returns
    -------
    rod_clearance_guard : shape (...), [m]

    Notes
    -----
    nan where an input is nan.

    Source
    ------
    JCGM 100, 6.2.1 (from memory).

    Examples
    --------
    >>> float(rod_clearance_guard(2.0, 2.5e-6)) * 1e6
    5.0
    """
    return guard_factor * rod_clearance_uncertainty
