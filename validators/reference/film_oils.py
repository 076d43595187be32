"""The oil in the film of a duty: its temperature and its viscosity."""

import numpy as np

from validators.reference.oils import density_at, line_viscosity
from validators.reference.value import Value, only_where, picked, rounded_nine
from validators.reference.words import DutyChoice


def oil_temperature(duty_oil_temperature: Value, oil_hotter: Value) -> Value:
    r"""Temperatures of the oil in the film that are shown: as given, and hotter.

    .. math:: T, \quad T + \Delta T

    Parameters
    ----------
    duty_oil_temperature : shape (..., duty), [K]
        Oil in the film.
    oil_hotter : shape (...), [K]
        Also shown with the oil hotter by.

    Returns
    -------
    oil_temperature : shape (..., duty, warm), [K]
        Oil in the film, shown.

    Notes
    -----
    nan where an input is missing; the temperature as given needs no rise.

    Source
    ------
    Sum.

    Examples
    --------
    >>> oil_temperature(np.array([[388.15]]), np.array([[15.0]])).tolist()
    [[388.15, 403.15]]
    """
    # Elements of the last axis: as given, hotter.
    rise = np.where([True, False], 0.0, oil_hotter)
    return duty_oil_temperature + rise


def oil_kinematic(
    oil_line_height: Value,
    oil_line_slope: Value,
    oil_temperature: Value,
    oil_warm_point: Value,
    viscosity_unit: Value,
    viscosity_shift: Value,
    oil_temperature_lowest: Value,
    oil_temperature_highest: Value,
) -> Value:
    r"""Kinematic viscosity of an oil in the film.

    .. math:: \nu = e^{e^{W}} \nu_u - \nu_s, \qquad W = W_{40} - b \ln\frac{T}{T_{40}}

    Parameters
    ----------
    oil_line_height : shape (..., oil), [1]
        Height of the viscosity line at 40 °C.
    oil_line_slope : shape (..., oil), [1]
        Slope of the viscosity line.
    oil_temperature : shape (..., duty, warm), [K]
        Oil in the film, shown.
    oil_warm_point : shape (...), [K]
        Data sheet, lower temperature.
    viscosity_unit : shape (...), [m^2/s]
        Viscosity that the line is written in.
    viscosity_shift : shape (...), [m^2/s]
        Added to the viscosity in the line.
    oil_temperature_lowest : shape (...), [K]
        Oil temperature, lowest believed.
    oil_temperature_highest : shape (...), [K]
        Oil temperature, highest believed.

    Returns
    -------
    oil_kinematic : shape (..., oil, duty, warm), [m^2/s]
        Kinematic viscosity in the film.

    Notes
    -----
    nan where an input is missing or the temperature is not believed.

    Source
    ------
    Walther's line as ASTM D341 uses it from 2 mm²/s on (from memory).

    Examples
    --------
    >>> line, bounds = (1.515284, 2.960985, 353.15, 313.15, 1e-6, 0.7e-6), (273.15, 473.15)
    >>> float(oil_kinematic(*line, *bounds))
    2.35359e-05
    """
    believed = (oil_temperature >= oil_temperature_lowest) & (
        oil_temperature <= oil_temperature_highest
    )
    return line_viscosity(
        oil_line_height,
        oil_line_slope,
        only_where(believed, oil_temperature),
        oil_warm_point,
        viscosity_unit,
        viscosity_shift,
    )


def oil_dynamic(
    oil_kinematic: Value,
    oil_temperature: Value,
    oil_density: Value,
    oil_shear_factor: Value,
    oil_density_slope: Value,
    oil_density_point: Value,
    viscosity_lowest: Value,
    viscosity_unit: Value,
) -> Value:
    r"""Dynamic viscosity of an oil in the film.

    .. math:: \eta = f \nu \rho, \qquad \rho = \rho_{15} - k (T - T_{15})

    Parameters
    ----------
    oil_kinematic : shape (..., oil, duty, warm), [m^2/s]
        Kinematic viscosity in the film.
    oil_temperature : shape (..., duty, warm), [K]
        Oil in the film, shown.
    oil_density : shape (..., oil), [kg/m^3]
        Density at 15 °C.
    oil_shear_factor : shape (..., oil), [1]
        Share left at high shear.
    oil_density_slope : shape (...), [kg/m^3/K]
        Density lost per kelvin.
    oil_density_point : shape (...), [K]
        Density, temperature.
    viscosity_lowest : shape (...), [m^2/s]
        Viscosity from which the line holds.
    viscosity_unit : shape (...), [m^2/s]
        Viscosity that the line is written in.

    Returns
    -------
    oil_dynamic : shape (..., oil, duty, warm), [Pa*s]
        Viscosity in the film.

    Notes
    -----
    nan where an input is missing, and where the oil is thinner than its line holds for, at nine
    decimals.

    Source
    ------
    Walther's line as ASTM D341 uses it from 2 mm²/s on (from memory). Density of mineral oil
    from memory.

    Examples
    --------
    >>> sheet = (9.477244592e-6, 393.15, 855.0, 1.0, 0.65, 288.15, 2e-6, 1e-6)
    >>> float(oil_dynamic(*sheet))
    0.007456222
    """
    holds = rounded_nine((oil_kinematic - viscosity_lowest) / viscosity_unit) >= 0
    density = density_at(oil_density, oil_density_slope, oil_temperature, oil_density_point)
    return only_where(holds, oil_kinematic) * density * oil_shear_factor


def duty_viscosity(oil_dynamic_given: Value, oil_number: Value) -> Value:
    r"""Viscosity of the oil used, at the temperature as given.

    .. math:: \eta_i

    Parameters
    ----------
    oil_dynamic_given : shape (..., oil, duty), [Pa*s]
        Viscosity in the film, as given.
    oil_number : shape (...), [1]
        Oil used, number.

    Returns
    -------
    duty_viscosity : shape (..., duty), [Pa*s]
        Viscosity of the oil used.

    Notes
    -----
    nan where no oil is chosen or its viscosity is missing.

    Source
    ------
    A choice, no equation.

    Examples
    --------
    >>> float(duty_viscosity(np.array([0.007, 0.009]), np.array([2.0])))
    0.009
    """
    number = np.arange(np.shape(oil_dynamic_given)[-1]) + 1
    return picked(np.equal(number, oil_number), oil_dynamic_given)


def trial_viscosity(oil_dynamic_fast: Value, oil_dynamic_full: Value, trial_duty: Value) -> Value:
    r"""Viscosity of an oil at the duty that is compared.

    .. math:: \eta

    Parameters
    ----------
    oil_dynamic_fast : shape (..., oil, warm), [Pa*s]
        Viscosity in the film, highest speed.
    oil_dynamic_full : shape (..., oil, warm), [Pa*s]
        Viscosity in the film, full load.
    trial_duty : shape (...), [1]
        Duty compared.

    Returns
    -------
    trial_viscosity : shape (..., oil, warm), [Pa*s]
        Viscosity compared.

    Notes
    -----
    nan where no duty is chosen or the viscosity is missing.

    Source
    ------
    A choice, no equation.

    Examples
    --------
    >>> float(trial_viscosity(0.007, 0.009, 1.0))
    0.009
    """
    return np.where(np.isnan(trial_duty), np.nan, 1.0) * np.where(
        np.equal(trial_duty, DutyChoice.HIGHEST_SPEED), oil_dynamic_fast, oil_dynamic_full
    )
