"""Sections of the rod bolt: their areas, and how far the bolt yields to a load."""

import numpy as np

from validators.reference.present import smallest_present
from validators.reference.value import Value, only_where, rounded_nine
from validators.reference.words import ThreadForm

__not_quantities__ = ("compliance", "stress_area")


def stress_area(
    thread_form: Value,
    size: Value,
    pitch: Value,
    metric_thread_factor: Value,
    unified_thread_factor: Value,
    shown_length: Value,
) -> Value:
    r"""Tensile stress area of a thread.

    .. math:: A_s = \frac{\pi}{4} (d - c P)^2

    Parameters
    ----------
    thread_form : shape (...), [1]
        Thread.
    size, pitch : shapes that broadcast, [m]
        Size of the thread, and distance from thread to thread.
    metric_thread_factor, unified_thread_factor : shape (...), [1]
        Stress diameter under thread size, in pitches.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    stress_area : the broadcast shape, [m^2]
        nan where the form of the thread is missing, or the pitch takes half of its diameter or more.

    Examples
    --------
    >>> float(stress_area(ThreadForm.ISO_METRIC, 10.0, 1.5, 0.9381941874, 0.9743, 1.0))
    57.98959311
    """
    factor = np.where(
        np.equal(thread_form, ThreadForm.ISO_METRIC),
        metric_thread_factor,
        only_where(np.equal(thread_form, ThreadForm.UNIFIED), unified_thread_factor),
    )
    stress_diameter = size - factor * pitch
    is_thread = rounded_nine((size - 2 * factor * pitch) / shown_length) > 0
    return np.pi / 4 * only_where(is_thread, stress_diameter) ** 2


def compliance(length: Value, modulus: Value, area: Value) -> Value:
    r"""Stretch of a straight bar, in unit load.

    .. math:: \delta = \frac{L}{E A}

    Parameters
    ----------
    length : shape (...), [m]
        Length of the bar.
    modulus : shape that broadcasts, [Pa]
        Modulus of its material.
    area : shape that broadcasts, [m^2]
        Its section.

    Returns
    -------
    compliance : the broadcast shape, [m/N]
        nan where modulus or section is nothing or less.

    Examples
    --------
    >>> float(compliance(12.0, 206e3, np.pi / 4 * 8.0**2)) * 1e6
    1.158895217
    """
    return length / (only_where(modulus > 0, modulus) * area)


def bolt_stress_area(
    thread_form: Value,
    bolt_thread_size: Value,
    bolt_thread_pitch: Value,
    metric_thread_factor: Value,
    unified_thread_factor: Value,
    shown_length: Value,
) -> Value:
    r"""Tensile stress area of the rod bolt's thread.

    .. math:: A_s = \frac{\pi}{4} (d - c P)^2

    Parameters
    ----------
    thread_form : shape (...), [1]
        Thread.
    bolt_thread_size : shape (...), [m]
        Rod bolt, thread size.
    bolt_thread_pitch : shape (...), [m]
        Rod bolt, thread pitch.
    metric_thread_factor : shape (...), [1]
        Stress diameter under thread size, in pitches, ISO metric.
    unified_thread_factor : shape (...), [1]
        Stress diameter under thread size, in pitches, unified.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    bolt_stress_area : shape (...), [m^2]
        Tensile stress area.

    Notes
    -----
    nan where an input is missing, or the pitch takes half of the diameter or more: no such thread
    is cut. Compared at nine decimals of the unit that the workbook shows. The two forms follow two
    rules, not one rule in two units.

    Source
    ------
    ISO 898-1 for ISO metric, ASME B1.1 for unified (both from memory).

    Examples
    --------
    >>> float(bolt_stress_area(0, 8e-3, 1e-3, 0.9381941874, 0.9743, 1e-3)) * 1e6
    39.1671006
    >>> float(bolt_stress_area(1, 0.375, 1 / 24, 0.9381941874, 0.9743, 1.0))
    0.08782805023
    """
    return stress_area(
        thread_form,
        bolt_thread_size,
        bolt_thread_pitch,
        metric_thread_factor,
        unified_thread_factor,
        shown_length,
    )


def bolt_part_area(bolt_part_size: Value) -> Value:
    r"""Section of a part of the rod bolt's shank.

    .. math:: A_i = \frac{\pi}{4} d_i^2

    Parameters
    ----------
    bolt_part_size : shape (..., segment), [m]
        Diameter.

    Returns
    -------
    bolt_part_area : shape (..., segment), [m^2]
        Area.

    Notes
    -----
    nan where the diameter is missing, nothing or less.

    Source
    ------
    Geometry of the circle.

    Examples
    --------
    >>> float(bolt_part_area(6.9e-3)) * 1e6
    37.39280656
    """
    return np.pi / 4 * only_where(bolt_part_size > 0, bolt_part_size) ** 2


def bolt_part_compliance(
    bolt_part_length: Value, bolt_modulus: Value, bolt_part_area: Value
) -> Value:
    r"""Stretch of a part of the rod bolt's shank, in unit load.

    .. math:: \delta_i = \frac{L_i}{E A_i}

    Parameters
    ----------
    bolt_part_length : shape (..., segment), [m]
        Length.
    bolt_modulus : shape (...), [Pa]
        Rod bolt, modulus.
    bolt_part_area : shape (..., segment), [m^2]
        Area.

    Returns
    -------
    bolt_part_compliance : shape (..., segment), [m/N]
        Compliance.

    Notes
    -----
    nan where length or diameter is missing.

    Source
    ------
    Hooke's law of a straight bar; parts in the grip only, as VDI 2230 sets them up (from memory).

    Examples
    --------
    >>> float(bolt_part_compliance(12e-3, 206e9, 50.26548246e-6)) * 1e9
    1.158895217
    """
    return compliance(bolt_part_length, bolt_modulus, bolt_part_area)


def bolt_thread_compliance(
    bolt_thread_length: Value, bolt_modulus: Value, bolt_stress_area: Value
) -> Value:
    r"""Stretch of the thread inside the grip, in unit load.

    .. math:: \delta_t = \frac{L_t}{E A_s}

    Parameters
    ----------
    bolt_thread_length : shape (...), [m]
        Thread inside the grip.
    bolt_modulus : shape (...), [Pa]
        Rod bolt, modulus.
    bolt_stress_area : shape (...), [m^2]
        Tensile stress area.

    Returns
    -------
    bolt_thread_compliance : shape (...), [m/N]
        Compliance of the thread in the grip.

    Notes
    -----
    nan where an input is missing. What stretches in the head and in the engaged thread is left out.

    Source
    ------
    Hooke's law of a straight bar, with the stress area for its section.

    Examples
    --------
    >>> float(bolt_thread_compliance(14e-3, 206e9, 39.1671006e-6)) * 1e9
    1.735159458
    """
    return compliance(bolt_thread_length, bolt_modulus, bolt_stress_area)


def bolt_compliance(
    bolt_part_compliance: Value,
    bolt_part_length: Value,
    bolt_part_size: Value,
    bolt_thread_compliance: Value,
) -> Value:
    r"""Stretch of the rod bolt inside the grip, in unit load.

    .. math:: \delta = \sum_i \delta_i + \delta_t

    Parameters
    ----------
    bolt_part_compliance : shape (..., segment), [m/N]
        Compliance.
    bolt_part_length : shape (..., segment), [m]
        Length.
    bolt_part_size : shape (..., segment), [m]
        Diameter.
    bolt_thread_compliance : shape (...), [m/N]
        Compliance of the thread in the grip.

    Returns
    -------
    bolt_compliance : shape (...), [m/N]
        Compliance of the bolt.

    Notes
    -----
    A part with neither length nor diameter is not used and counts nothing; one with only one of
    the two leaves no sum. nan where the thread is missing.

    Source
    ------
    Springs in series.

    Examples
    --------
    >>> parts, unused = np.array([1.158895217, 3.115702326, np.nan]), [12.0, 24.0, np.nan]
    >>> float(bolt_compliance(parts, np.array(unused), np.array(unused), np.array([1.735159458])))
    6.009757001
    """
    unused = np.isnan(bolt_part_length) & np.isnan(bolt_part_size)
    parts = np.sum(np.where(unused, 0.0, bolt_part_compliance), axis=-1)
    return parts + bolt_thread_compliance[..., 0]


def bolt_least_area(bolt_part_area: Value, bolt_stress_area: Value) -> Value:
    r"""Smallest section of the rod bolt: the one that yields first.

    .. math:: A_{min} = \min(A_i, A_s)

    Parameters
    ----------
    bolt_part_area : shape (..., segment), [m^2]
        Area.
    bolt_stress_area : shape (...), [m^2]
        Tensile stress area.

    Returns
    -------
    bolt_least_area : shape (...), [m^2]
        Smallest area.

    Notes
    -----
    Parts without a diameter are passed over. nan where the stress area is missing.

    Source
    ------
    Definition.

    Examples
    --------
    >>> areas = np.array([50.26548246, 37.39280656, np.nan])
    >>> float(bolt_least_area(areas, np.array([39.1671006])))
    37.39280656
    """
    thread = bolt_stress_area[..., 0]
    shank = smallest_present(bolt_part_area)
    return np.where(np.isnan(shank), thread, np.minimum(shank, thread))
