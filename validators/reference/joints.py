"""The other fastener groups: torque and angle against preload."""

import numpy as np

from validators.reference.fasteners import compliance, stress_area
from validators.reference.value import Value, first_match, only_where, picked


def joint_lever(
    joint_pitch: Value,
    joint_flank_size: Value,
    joint_thread_friction: Value,
    joint_head_size: Value,
    joint_head_friction: Value,
) -> Value:
    r"""Torque that a fastener takes, for each unit of its preload.

    .. math:: \frac{M}{F} = \frac{P}{2 \pi} + \frac{d_2 \mu_G}{\sqrt 3} + \frac{D_{Km} \mu_K}{2}

    Parameters
    ----------
    joint_pitch : shape (..., joint), [m]
        Pitch.
    joint_flank_size : shape (..., joint), [m]
        Pitch diameter.
    joint_thread_friction : shape (..., joint), [1]
        Friction, thread.
    joint_head_size : shape (..., joint), [m]
        Mean diameter under the head.
    joint_head_friction : shape (..., joint), [1]
        Friction, head.

    Returns
    -------
    joint_lever : shape (..., joint), [m]
        Torque per preload.

    Notes
    -----
    nan where an input is missing. Smaller than the exact form of the screw by a product of lead and
    friction.

    Source
    ------
    The linear form of Motosh and VDI 2230, for 60 degree threads (from memory).

    Examples
    --------
    >>> float(joint_lever(1.25, 9.188101184, 0.12, 13.25, 0.12))
    1.630514002
    """
    lead = joint_pitch / (2 * np.pi)
    thread = joint_flank_size * joint_thread_friction / np.sqrt(3)
    head = joint_head_size * joint_head_friction / 2
    return lead + thread + head


def joint_torque(joint_preload_wanted: Value, joint_lever: Value) -> Value:
    r"""Torque that brings the preload wanted.

    .. math:: M = F^* \frac{M}{F}

    Parameters
    ----------
    joint_preload_wanted : shape (..., joint), [N]
        Preload wanted.
    joint_lever : shape (..., joint), [m]
        Torque per preload.

    Returns
    -------
    joint_torque : shape (..., joint), [N*m]
        Torque for the preload.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    The linear form of Motosh and VDI 2230 (from memory).

    Examples
    --------
    >>> joint_torque(40e3, 1.630514002e-3)
    65.22056008
    """
    return joint_preload_wanted * joint_lever


def joint_preload(joint_torque_given: Value, joint_lever: Value) -> Value:
    r"""Preload that the torque of the maker's sheet brings.

    .. math:: F = M \frac{F}{M}

    Parameters
    ----------
    joint_torque_given : shape (..., joint), [N*m]
        Torque of the maker's sheet.
    joint_lever : shape (..., joint), [m]
        Torque per preload.

    Returns
    -------
    joint_preload : shape (..., joint), [N]
        Preload of the maker's torque.

    Notes
    -----
    nan where an input is missing, or no torque belongs to a preload.

    Source
    ------
    The linear form of Motosh and VDI 2230 (from memory).

    Examples
    --------
    >>> float(joint_preload(65.22056008, 1.630514002e-3))
    40000.0
    """
    return joint_torque_given / only_where(joint_lever > 0, joint_lever)


def joint_nut_factor(joint_lever: Value, joint_size: Value) -> Value:
    r"""Nut factor: torque over preload and thread size.

    .. math:: K = \frac{M}{F d}

    Parameters
    ----------
    joint_lever : shape (..., joint), [m]
        Torque per preload.
    joint_size : shape (..., joint), [m]
        Thread size.

    Returns
    -------
    joint_nut_factor : shape (..., joint), [1]
        Nut factor K.

    Notes
    -----
    nan where an input is missing. Preload and torque go out: it needs neither.

    Source
    ------
    Definition. Usual with oil 0.18 to 0.20: common practice, no source.

    Examples
    --------
    >>> float(joint_nut_factor(1.630514002e-3, 10e-3))
    0.1630514002
    """
    return joint_lever / only_where(joint_size > 0, joint_size)


def joint_bolt_compliance(
    joint_grip: Value,
    bolt_modulus: Value,
    thread_form: Value,
    joint_size: Value,
    joint_pitch: Value,
    metric_thread_factor: Value,
    unified_thread_factor: Value,
    shown_length: Value,
) -> Value:
    r"""Stretch of a fastener that is thread over its whole clamped length, in unit load.

    .. math:: c_b = \frac{L}{E A_s}

    Parameters
    ----------
    joint_grip : shape (..., joint), [m]
        Clamped length.
    bolt_modulus : shape (...), [Pa]
        Rod bolt, modulus.
    thread_form : shape (...), [1]
        Thread.
    joint_size : shape (..., joint), [m]
        Thread size.
    joint_pitch : shape (..., joint), [m]
        Pitch.
    metric_thread_factor : shape (...), [1]
        Stress diameter under thread size, in pitches, ISO metric.
    unified_thread_factor : shape (...), [1]
        Stress diameter under thread size, in pitches, unified.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    joint_bolt_compliance : shape (..., joint), [m/N]
        Compliance, bolt.

    Notes
    -----
    nan where an input is missing, or the pitch takes half of the diameter or more: no such thread
    is cut. Compared at nine decimals of the unit that the workbook shows.

    Source
    ------
    Hooke's law of a straight bar, with the stress area for its section.

    Examples
    --------
    >>> factors = 0.9381941874, 0.9743, 1e-3
    >>> float(joint_bolt_compliance(40e-3, 206e9, 0, 10e-3, 1.25e-3, *factors)) * 1e9
    3.172863009
    """
    area = stress_area(
        thread_form,
        joint_size,
        joint_pitch,
        metric_thread_factor,
        unified_thread_factor,
        shown_length,
    )
    return compliance(joint_grip, bolt_modulus, area)


def joint_sleeve_modulus_used(
    joint_sleeve_modulus: Value,
    joint_sleeve_material: Value,
    material_name: Value,
    material_modulus: Value,
) -> Value:
    r"""Modulus of the clamped parts.

    .. math:: E

    Parameters
    ----------
    joint_sleeve_modulus : shape (..., joint), [Pa]
        Own modulus of it.
    joint_sleeve_material : shape (..., joint), [1]
        Clamped parts, material.
    material_name : shape (..., material), [1]
        Material.
    material_modulus : shape (..., material), [Pa]
        Modulus.

    Returns
    -------
    joint_sleeve_modulus_used : shape (..., joint), [Pa]
        Modulus, clamped parts.

    Notes
    -----
    The own figure comes before that of the material. nan where there is none and the material is
    missing, not in the table, or has no modulus there.

    Source
    ------
    Table of materials (from memory).

    Examples
    --------
    >>> names, moduli = np.array([1.0, 2.0]), np.array([115e9, 72e9])
    >>> none, aluminium = np.array([np.nan]), np.array([2.0])
    >>> float(joint_sleeve_modulus_used(none, aluminium, names, moduli)) / 1e9
    72.0
    >>> float(joint_sleeve_modulus_used(np.array([75e9]), aluminium, names, moduli)) / 1e9
    75.0
    """
    own = joint_sleeve_modulus[..., 0]
    listed = picked(first_match(joint_sleeve_material, material_name), material_modulus)
    return np.where(np.isnan(own), listed, own)


def joint_sleeve_compliance(
    joint_grip: Value,
    joint_sleeve_modulus_used: Value,
    joint_sleeve_size: Value,
    joint_hole_size: Value,
) -> Value:
    r"""Shortening of the clamped sleeve, in unit load.

    .. math:: c_j = \frac{L}{E \frac{\pi}{4} (D_o^2 - d_i^2)}

    Parameters
    ----------
    joint_grip : shape (..., joint), [m]
        Clamped length.
    joint_sleeve_modulus_used : shape (..., joint), [Pa]
        Modulus, clamped parts.
    joint_sleeve_size : shape (..., joint), [m]
        Clamped sleeve, outside.
    joint_hole_size : shape (..., joint), [m]
        Clamped sleeve, hole.

    Returns
    -------
    joint_sleeve_compliance : shape (..., joint), [m/N]
        Compliance, clamped parts.

    Notes
    -----
    nan where an input is missing, the hole is less than nothing, or the sleeve is not larger than
    its hole.

    Source
    ------
    Hooke's law of a straight tube.

    Examples
    --------
    >>> float(joint_sleeve_compliance(40e-3, 206e9, 20e-3, 10.5e-3)) * 1e9
    0.8532561848
    """
    ring = np.pi / 4 * (joint_sleeve_size**2 - joint_hole_size**2)
    area = only_where((joint_hole_size >= 0) & (joint_sleeve_size > joint_hole_size), ring)
    return compliance(joint_grip, joint_sleeve_modulus_used, area)


def joint_angle_total(joint_angle_at: Value) -> Value:
    r"""Angle of all steps of tightening together.

    .. math:: \sum_{step} \varphi

    Parameters
    ----------
    joint_angle_at : shape (..., joint, pass), [rad]
        Angle.

    Returns
    -------
    joint_angle_total : shape (..., joint), [rad]
        Angle, all steps.

    Notes
    -----
    Steps without an angle are passed over; nan where no step has one.

    Source
    ------
    Sum.

    Examples
    --------
    >>> float(joint_angle_total(np.array([np.nan, 1.5, 0.5, np.nan])))
    2.0
    """
    some = np.any(~np.isnan(joint_angle_at), axis=-1)
    return only_where(some, np.nansum(joint_angle_at, axis=-1))


def joint_angle_preload(
    joint_pitch: Value,
    joint_angle_total: Value,
    joint_bolt_compliance: Value,
    joint_sleeve_compliance: Value,
) -> Value:
    r"""Preload that the angle of tightening brings, from where the joint is snug.

    .. math:: \Delta F = \frac{P \frac{\varphi}{2 \pi}}{c_b + c_j}

    Parameters
    ----------
    joint_pitch : shape (..., joint), [m]
        Pitch.
    joint_angle_total : shape (..., joint), [rad]
        Angle, all steps.
    joint_bolt_compliance : shape (..., joint), [m/N]
        Compliance, bolt.
    joint_sleeve_compliance : shape (..., joint), [m/N]
        Compliance, clamped parts.

    Returns
    -------
    joint_angle_preload : shape (..., joint), [N]
        Preload by the angle.

    Notes
    -----
    nan where an input is missing. Holds below yield only, and comes on top of the preload of the
    snug torque.

    Source
    ------
    Two springs in series.

    Examples
    --------
    >>> float(joint_angle_preload(1.25e-3, np.pi / 2, 2.857614063e-9, 0.5737228437e-9))
    91072.37456
    """
    both = joint_bolt_compliance + joint_sleeve_compliance
    return joint_pitch * (joint_angle_total / (2 * np.pi)) / only_where(both > 0, both)
