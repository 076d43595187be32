"""Oils: viscosity at the temperature of the film, from two viscosities of a data sheet."""

import numpy as np

from validators.reference.value import Value, only_where

__not_quantities__ = ("density_at", "line_viscosity")


def line_viscosity(
    height: Value, slope: Value, temperature: Value, warm_point: Value, unit: Value, shift: Value
) -> Value:
    r"""Kinematic viscosity on the line of an oil.

    .. math:: \nu = e^{e^{W}} \nu_u - \nu_s, \qquad W = W_{40} - b \ln\frac{T}{T_{40}}

    Examples
    --------
    >>> float(line_viscosity(1.515284, 2.960985, 353.15, 313.15, 1e-6, 0.7e-6))
    2.35359e-05
    """
    return np.exp(np.exp(height - slope * np.log(temperature / warm_point))) * unit - shift


def density_at(density: Value, slope: Value, temperature: Value, point: Value) -> Value:
    r"""Density of an oil that expands.

    .. math:: \rho = \rho_{15} - k (T - T_{15})

    Examples
    --------
    >>> density_at(855.0, 0.65, 393.15, 288.15)
    786.75
    """
    return density - slope * (temperature - point)


def oil_number(oil_chosen: Value) -> Value:
    r"""Place of the oil used in the list, counted from 1.

    .. math:: i

    Parameters
    ----------
    oil_chosen : shape (...), [1]
        Oil used below.

    Returns
    -------
    oil_number : shape (...), [1]
        Oil used, number.

    Notes
    -----
    nan where none is chosen.

    Source
    ------
    A count, no equation.

    Examples
    --------
    >>> oil_number(1)
    2
    """
    return oil_chosen + 1


def oil_line_height(
    oil_viscosity_warm: Value,
    oil_viscosity_hot: Value,
    viscosity_shift: Value,
    viscosity_unit: Value,
    viscosity_lowest: Value,
) -> Value:
    r"""Height of the viscosity line of an oil at the lower temperature of its data sheet.

    .. math:: W_{40} = \ln \ln \frac{\nu_{40} + \nu_s}{\nu_u}

    Parameters
    ----------
    oil_viscosity_warm : shape (..., oil), [m^2/s]
        Viscosity at 40 °C.
    oil_viscosity_hot : shape (..., oil), [m^2/s]
        Viscosity at 100 °C.
    viscosity_shift : shape (...), [m^2/s]
        Added to the viscosity in the line.
    viscosity_unit : shape (...), [m^2/s]
        Viscosity that the line is written in.
    viscosity_lowest : shape (...), [m^2/s]
        Viscosity from which the line holds.

    Returns
    -------
    oil_line_height : shape (..., oil), [1]
        Height of the viscosity line at 40 °C.

    Notes
    -----
    nan where an input is missing, where the hot oil is thinner than the line holds for, and
    where the oil is not thinner hot than warm.

    Source
    ------
    Walther's line as ASTM D341 uses it from 2 mm²/s on (from memory).

    Examples
    --------
    >>> float(oil_line_height(94e-6, 14.3e-6, 0.7e-6, 1e-6, 2e-6))
    1.51528
    """
    sound = (oil_viscosity_hot >= viscosity_lowest) & (oil_viscosity_warm > oil_viscosity_hot)
    warm = only_where(sound, oil_viscosity_warm)
    return np.log(np.log((warm + viscosity_shift) / viscosity_unit))


def oil_line_slope(
    oil_line_height: Value,
    oil_viscosity_hot: Value,
    viscosity_shift: Value,
    viscosity_unit: Value,
    oil_warm_point: Value,
    oil_hot_point: Value,
) -> Value:
    r"""Slope of the viscosity line of an oil over the logarithm of temperature.

    .. math:: b = \frac{W_{40} - W_{100}}{\ln T_{100} - \ln T_{40}}

    Parameters
    ----------
    oil_line_height : shape (..., oil), [1]
        Height of the viscosity line at 40 °C.
    oil_viscosity_hot : shape (..., oil), [m^2/s]
        Viscosity at 100 °C.
    viscosity_shift : shape (...), [m^2/s]
        Added to the viscosity in the line.
    viscosity_unit : shape (...), [m^2/s]
        Viscosity that the line is written in.
    oil_warm_point : shape (...), [K]
        Data sheet, lower temperature.
    oil_hot_point : shape (...), [K]
        Data sheet, higher temperature.

    Returns
    -------
    oil_line_slope : shape (..., oil), [1]
        Slope of the viscosity line.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Walther's line as ASTM D341 uses it from 2 mm²/s on (from memory).

    Examples
    --------
    >>> float(oil_line_slope(1.515284, 14.3e-6, 0.7e-6, 1e-6, 313.15, 373.15))
    2.96098
    """
    hot_height = np.log(np.log((oil_viscosity_hot + viscosity_shift) / viscosity_unit))
    return (oil_line_height - hot_height) / np.log(oil_hot_point / oil_warm_point)


def oil_bench_viscosity(
    oil_line_height: Value,
    oil_line_slope: Value,
    oil_density: Value,
    viscosity_shift: Value,
    viscosity_unit: Value,
    oil_warm_point: Value,
    oil_shear_point: Value,
    oil_density_point: Value,
    oil_density_slope: Value,
) -> Value:
    r"""Dynamic viscosity at the temperature of the high-shear test, without shear.

    .. math:: \eta_{150} = \nu_{150} \rho_{150}

    Parameters
    ----------
    oil_line_height : shape (..., oil), [1]
        Height of the viscosity line at 40 °C.
    oil_line_slope : shape (..., oil), [1]
        Slope of the viscosity line.
    oil_density : shape (..., oil), [kg/m^3]
        Density at 15 °C.
    viscosity_shift : shape (...), [m^2/s]
        Added to the viscosity in the line.
    viscosity_unit : shape (...), [m^2/s]
        Viscosity that the line is written in.
    oil_warm_point : shape (...), [K]
        Data sheet, lower temperature.
    oil_shear_point : shape (...), [K]
        High-shear test, temperature.
    oil_density_point : shape (...), [K]
        Density, temperature.
    oil_density_slope : shape (...), [kg/m^3/K]
        Density lost per kelvin.

    Returns
    -------
    oil_bench_viscosity : shape (..., oil), [Pa*s]
        Viscosity at 150 °C by the line.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Walther's line as ASTM D341 uses it from 2 mm²/s on (from memory). Density of mineral oil
    from memory.

    Examples
    --------
    >>> line = (1.515284, 2.960985, 855.0, 0.7e-6, 1e-6)
    >>> float(oil_bench_viscosity(*line, 313.15, 423.15, 288.15, 0.65))
    0.0044221
    """
    kinematic = line_viscosity(
        oil_line_height,
        oil_line_slope,
        oil_shear_point,
        oil_warm_point,
        viscosity_unit,
        viscosity_shift,
    )
    return kinematic * density_at(
        oil_density, oil_density_slope, oil_shear_point, oil_density_point
    )


def oil_shear_factor(oil_high_shear: Value, oil_bench_viscosity: Value) -> Value:
    r"""Share of its viscosity that an oil keeps at the shear rate of a bearing.

    .. math:: f = \frac{\eta_{150, sheared}}{\eta_{150}}

    Parameters
    ----------
    oil_high_shear : shape (..., oil), [Pa*s]
        High shear, 150 °C.
    oil_bench_viscosity : shape (..., oil), [Pa*s]
        Viscosity at 150 °C by the line.

    Returns
    -------
    oil_shear_factor : shape (..., oil), [1]
        Share left at high shear.

    Notes
    -----
    1 where no high-shear viscosity is given. nan where one is given and the other is missing,
    or where one of the two is not positive.

    Source
    ------
    Common practice, no source: the ratio at 150 °C is taken for every temperature.

    Examples
    --------
    >>> [float(oil_shear_factor(sheared, 0.0044)) for sheared in (0.0033, np.nan)]
    [0.75, 1.0]
    """
    sheared = only_where((oil_high_shear > 0) & (oil_bench_viscosity > 0), oil_high_shear)
    return np.where(np.isnan(oil_high_shear), 1.0, sheared / oil_bench_viscosity)
