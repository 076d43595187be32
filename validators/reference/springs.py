"""Valve springs: installed height, loads, and what is left before the coils touch."""

import numpy as np

from validators.reference.value import Value


def spring_height_used(spring_height_wanted: Value, spring_height: Value) -> Value:
    r"""Height that the spring is reckoned with: the one wanted, else the one measured.

    .. math:: h = h^* \text{, or } h_m \text{ where no } h^* \text{ is wanted}

    Parameters
    ----------
    spring_height_wanted : shape (..., valve), [m]
        Spring height wanted.
    spring_height : shape (..., cylinder, valve), [m]
        Spring height measured.

    Returns
    -------
    spring_height_used : shape (..., cylinder, valve), [m]
        Spring height used.

    Notes
    -----
    nan where both are missing.

    Source
    ------
    A choice, no equation: shims are taken to bring the spring to the height wanted.

    Examples
    --------
    >>> [float(spring_height_used(wanted, 45.0)) for wanted in (44.2, np.nan)]
    [44.2, 45.0]
    """
    return np.where(np.isnan(spring_height_wanted), spring_height, spring_height_wanted)


def spring_shim(spring_height: Value, spring_height_wanted: Value) -> Value:
    r"""Shim that brings a spring to the height wanted; negative where it already sits too low.

    .. math:: h_m - h^*

    Parameters
    ----------
    spring_height : shape (..., cylinder, valve), [m]
        Spring height measured.
    spring_height_wanted : shape (..., valve), [m]
        Spring height wanted.

    Returns
    -------
    spring_shim : shape (..., cylinder, valve), [m]
        Shim under the spring.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> spring_shim(45.0, 44.2)
    0.8
    """
    return spring_height - spring_height_wanted


def spring_seat_load(
    spring_test_load: Value,
    spring_rate: Value,
    spring_test_height: Value,
    spring_height_used: Value,
) -> Value:
    r"""Load of a spring, valve closed.

    .. math:: F_0 = F_1 + k (h_1 - h)

    Parameters
    ----------
    spring_test_load : shape (..., valve), [N]
        Spring, load.
    spring_rate : shape (..., valve), [N/m]
        Spring rate.
    spring_test_height : shape (..., valve), [m]
        Spring, at height.
    spring_height_used : shape (..., cylinder, valve), [m]
        Spring height used.

    Returns
    -------
    spring_seat_load : shape (..., cylinder, valve), [N]
        Load, closed.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Hooke's law: a spring of constant rate.

    Examples
    --------
    >>> spring_seat_load(400.0, 38.0, 45.0, 44.2)
    430.4
    """
    return spring_test_load + spring_rate * (spring_test_height - spring_height_used)


def spring_open_load(spring_seat_load: Value, spring_rate: Value, valve_lift: Value) -> Value:
    r"""Load of a spring, valve fully open.

    .. math:: F = F_0 + k l

    Parameters
    ----------
    spring_seat_load : shape (..., cylinder, valve), [N]
        Load, closed.
    spring_rate : shape (..., valve), [N/m]
        Spring rate.
    valve_lift : shape (..., valve), [m]
        Valve lift.

    Returns
    -------
    spring_open_load : shape (..., cylinder, valve), [N]
        Load, open.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Hooke's law: a spring of constant rate.

    Examples
    --------
    >>> spring_open_load(430.4, 38.0, 11.5)
    867.4
    """
    return spring_seat_load + spring_rate * valve_lift


def coil_bind_margin(
    spring_height_used: Value, valve_lift: Value, spring_solid_height: Value
) -> Value:
    r"""What is left between the coils of a spring, valve fully open.

    .. math:: h - l - h_s

    Parameters
    ----------
    spring_height_used : shape (..., cylinder, valve), [m]
        Spring height used.
    valve_lift : shape (..., valve), [m]
        Valve lift.
    spring_solid_height : shape (..., valve), [m]
        Spring, solid height.

    Returns
    -------
    coil_bind_margin : shape (..., cylinder, valve), [m]
        Coil-bind margin.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Subtraction. Usual from 1.0 to 1.5 mm: common practice, no source.

    Examples
    --------
    >>> coil_bind_margin(44.2, 11.5, 30.2)
    2.5
    """
    return spring_height_used - valve_lift - spring_solid_height
