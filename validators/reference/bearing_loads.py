"""Loads of rod and main bearings: gas, inertia of the piston side, whirl of the big end."""

import numpy as np

from validators.reference.present import largest_present
from validators.reference.slider_crank import (
    crank_radius,
)
from validators.reference.value import Value, only_where
from validators.reference.words import DutyChoice


def film_reciprocating_mass(cylinder_reciprocating_mass: Value, reciprocating_mass: Value) -> Value:
    r"""Reciprocating mass of a cylinder: the weighed one, else that of the combination chosen.

    .. math:: m_{rec}

    Parameters
    ----------
    cylinder_reciprocating_mass : shape (..., cylinder), [kg]
        Reciprocating mass.
    reciprocating_mass : shape (...), [kg]
        Reciprocating mass, chosen.

    Returns
    -------
    film_reciprocating_mass : shape (..., cylinder), [kg]
        Reciprocating mass used.

    Notes
    -----
    nan where both are missing.

    Source
    ------
    A choice, no equation.

    Examples
    --------
    >>> [float(film_reciprocating_mass(weighed, 0.52)) for weighed in (0.515, np.nan)]
    [0.515, 0.52]
    """
    return np.where(
        np.isnan(cylinder_reciprocating_mass), reciprocating_mass, cylinder_reciprocating_mass
    )


def film_rotating_mass(cylinder_rotating_mass: Value, rod_big_end_mass: Value) -> Value:
    r"""Mass that whirls at a crankpin: the weighed one, else the one given.

    .. math:: m_{big}

    Parameters
    ----------
    cylinder_rotating_mass : shape (..., cylinder), [kg]
        Rotating mass of the rod, with shells.
    rod_big_end_mass : shape (...), [kg]
        Rod, big end with shells, if not weighed.

    Returns
    -------
    film_rotating_mass : shape (..., cylinder), [kg]
        Big end used.

    Notes
    -----
    nan where both are missing.

    Source
    ------
    A choice, no equation.

    Examples
    --------
    >>> [float(film_rotating_mass(weighed, 0.4)) for weighed in (0.41, np.nan)]
    [0.41, 0.4]
    """
    return np.where(np.isnan(cylinder_rotating_mass), rod_big_end_mass, cylinder_rotating_mass)


def rod_axial_force(
    duty_gas_pressure: Value,
    nominal_size_bore: Value,
    film_reciprocating_mass: Value,
    duty_acceleration: Value,
) -> Value:
    r"""Force of the piston on the rod along the cylinder axis, positive toward the crank.

    .. math:: F = p \frac{\pi}{4} B^2 - m_{rec} a

    Parameters
    ----------
    duty_gas_pressure : shape (..., duty), [Pa]
        Gas pressure.
    nominal_size_bore : shape (...), [m]
        Nominal size, bore.
    film_reciprocating_mass : shape (..., cylinder), [kg]
        Reciprocating mass used.
    duty_acceleration : shape (..., duty), [m/s^2]
        Piston acceleration.

    Returns
    -------
    rod_axial_force : shape (..., cylinder, duty), [N]
        Gas less inertia.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Textbooks on theory of machines (from memory).

    Examples
    --------
    >>> float(rod_axial_force(0.0, 0.086, 0.52, 25913.0))
    -13474.76
    """
    area = np.pi / 4 * nominal_size_bore**2
    return duty_gas_pressure * area - film_reciprocating_mass * duty_acceleration


def rod_load(
    film_rotating_mass: Value,
    stroke_nominal: Value,
    duty_turning: Value,
    rod_axial_force: Value,
    duty_along: Value,
    duty_across: Value,
) -> Value:
    r"""Load of a rod bearing.

    .. math:: W = \sqrt{(m_{big} R \omega^2 - F c)^2 + (F s)^2}

    Parameters
    ----------
    film_rotating_mass : shape (..., cylinder), [kg]
        Big end used.
    stroke_nominal : shape (...), [m]
        Stroke.
    duty_turning : shape (..., duty), [rad/s]
        Speed as an angle.
    rod_axial_force : shape (..., cylinder, duty), [N]
        Gas less inertia.
    duty_along : shape (..., duty), [1]
        Rod force along the throw, share.
    duty_across : shape (..., duty), [1]
        Rod force square to it, share.

    Returns
    -------
    rod_load : shape (..., cylinder, duty), [N]
        Load.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Textbooks on theory of machines (from memory).

    Examples
    --------
    >>> float(rod_load(0.4, 0.086, 680.6784083, -13475.1, 1.0, 0.0))
    21444.26
    """
    whirl = film_rotating_mass * crank_radius(stroke_nominal) * duty_turning**2
    outward = whirl - rod_axial_force * duty_along
    sideways = rod_axial_force * duty_across
    return np.sqrt(outward**2 + sideways**2)


def rod_load_peak(rod_load: Value) -> Value:
    r"""Greatest load of a rod bearing over the cylinders.

    .. math:: \max W

    Parameters
    ----------
    rod_load : shape (..., cylinder, duty), [N]
        Load.

    Returns
    -------
    rod_load_peak : shape (..., duty), [N]
        Greatest rod load.

    Notes
    -----
    Over the loads that are there; nan where none is.

    Source
    ------
    Maximum.

    Examples
    --------
    >>> float(rod_load_peak(np.array([21444.3, np.nan, 21501.0])))
    21501.0
    """
    return largest_present(rod_load)


def rod_trial_load(
    rod_load_peak_fast: Value, rod_load_peak_full: Value, trial_duty: Value
) -> Value:
    r"""Greatest rod load at the duty that is compared.

    .. math:: \max W

    Parameters
    ----------
    rod_load_peak_fast : shape (...), [N]
        Greatest rod load, highest speed.
    rod_load_peak_full : shape (...), [N]
        Greatest rod load, full load.
    trial_duty : shape (...), [1]
        Duty compared.

    Returns
    -------
    rod_trial_load : shape (...), [N]
        Rod load compared.

    Notes
    -----
    nan where no duty is chosen or the load is missing.

    Source
    ------
    A choice, no equation.

    Examples
    --------
    >>> float(rod_trial_load(21444.3, 30000.0, 0.0))
    21444.3
    """
    return np.where(np.isnan(trial_duty), np.nan, 1.0) * np.where(
        np.equal(trial_duty, DutyChoice.HIGHEST_SPEED), rod_load_peak_fast, rod_load_peak_full
    )


def trial_speed(
    duty_speed_used_fast: Value, duty_speed_used_full: Value, trial_duty: Value
) -> Value:
    r"""Speed at the duty that is compared.

    .. math:: \omega

    Parameters
    ----------
    duty_speed_used_fast : shape (...), [rad/s]
        Speed used, highest speed.
    duty_speed_used_full : shape (...), [rad/s]
        Speed used, full load.
    trial_duty : shape (...), [1]
        Duty compared.

    Returns
    -------
    trial_speed : shape (...), [rad/s]
        Speed compared at.

    Notes
    -----
    nan where no duty is chosen or the speed is missing.

    Source
    ------
    A choice, no equation.

    Examples
    --------
    >>> float(trial_speed(680.0, 450.0, 1.0))
    450.0
    """
    return np.where(np.isnan(trial_duty), np.nan, 1.0) * np.where(
        np.equal(trial_duty, DutyChoice.HIGHEST_SPEED), duty_speed_used_fast, duty_speed_used_full
    )


def main_load(main_load_share: Value, rod_load_peak: Value) -> Value:
    r"""Load of a main bearing, estimated from the greatest rod load.

    .. math:: W_m = f \max W

    Parameters
    ----------
    main_load_share : shape (..., main), [1]
        Share of the greatest rod load.
    rod_load_peak : shape (..., duty), [N]
        Greatest rod load.

    Returns
    -------
    main_load : shape (..., main, duty), [N]
        Load.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Common practice, no source: a crankpin leans with half its load on each of its two
    neighbours.

    Examples
    --------
    >>> main_load(0.5, 21444.0)
    10722.0
    """
    return main_load_share * rod_load_peak


def main_trial_load(main_load_share: Value, rod_trial_load: Value) -> Value:
    r"""Greatest load of a main bearing at the duty that is compared.

    .. math:: \max f \max W

    Parameters
    ----------
    main_load_share : shape (..., main), [1]
        Share of the greatest rod load.
    rod_trial_load : shape (...), [N]
        Rod load compared.

    Returns
    -------
    main_trial_load : shape (...), [N]
        Main load compared.

    Notes
    -----
    Over the shares that are there; nan where none is, or no rod load.

    Source
    ------
    Maximum.

    Examples
    --------
    >>> float(main_trial_load(np.array([0.5, 1.0, np.nan]), np.array([21444.0])))
    21444.0
    """
    there = ~np.isnan(main_load_share)
    greatest = np.max(np.where(there, main_load_share, -np.inf), axis=-1)
    return only_where(np.any(there, axis=-1), greatest) * rod_trial_load[..., 0]
