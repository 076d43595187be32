"""What the rod bolt bears, and how far it is to be stretched."""

import numpy as np

from validators.reference.value import Value, first_match, picked

__not_quantities__ = ("stress_used",)


def stress_used(own: Value, strength_class: Value, class_name: Value, class_stress: Value) -> Value:
    """Take the maker's own stress where one is typed, else that of the strength class.

    Parameters
    ----------
    own : shape (..., 1), [Pa]
        The maker's figure; nan where there is none.
    strength_class : shape (..., 1), [1]
        The class chosen.
    class_name : shape (..., boltclass), [1]
        Names of the classes.
    class_stress : shape (..., boltclass), [Pa]
        Their stresses.

    Returns
    -------
    stress_used : shape (...), [Pa]
        nan where there is no own figure and the class is missing or not in the table.

    Examples
    --------
    >>> none, table = np.array([np.nan]), (np.array([1.0, 2.0]), np.array([580.0, 830.0]))
    >>> [float(stress_used(own, np.array([2.0]), *table)) for own in (none, none + 900)]
    [830.0, 830.0]
    >>> float(stress_used(np.array([900.0]), np.array([2.0]), *table))
    900.0
    """
    table = picked(first_match(strength_class, class_name), class_stress)
    return np.where(np.isnan(own[..., 0]), table, own[..., 0])


def bolt_proof_stress(
    bolt_proof_own: Value, bolt_class: Value, bolt_class_name: Value, bolt_class_proof: Value
) -> Value:
    r"""Stress that the rod bolt is proved to bear without set.

    .. math:: S_p

    Parameters
    ----------
    bolt_proof_own : shape (...), [Pa]
        Proof stress, maker's own.
    bolt_class : shape (...), [1]
        Strength class.
    bolt_class_name : shape (..., boltclass), [1]
        Strength class.
    bolt_class_proof : shape (..., boltclass), [Pa]
        Proof stress.

    Returns
    -------
    bolt_proof_stress : shape (...), [Pa]
        Proof stress used.

    Notes
    -----
    The maker's own figure comes before that of the class. nan where there is none and the class is
    missing or not in the table.

    Source
    ------
    ISO 898-1 and SAE J429 (both from memory).

    Examples
    --------
    >>> names, stresses = np.array([1.0, 2.0]), np.array([580e6, 830e6])
    >>> float(bolt_proof_stress(np.array([np.nan]), np.array([2.0]), names, stresses)) / 1e6
    830.0
    """
    return stress_used(bolt_proof_own, bolt_class, bolt_class_name, bolt_class_proof)


def bolt_yield_stress(
    bolt_yield_own: Value, bolt_class: Value, bolt_class_name: Value, bolt_class_yield: Value
) -> Value:
    r"""Stress at which the rod bolt yields.

    .. math:: R_{p0.2}

    Parameters
    ----------
    bolt_yield_own : shape (...), [Pa]
        Yield stress, maker's own.
    bolt_class : shape (...), [1]
        Strength class.
    bolt_class_name : shape (..., boltclass), [1]
        Strength class.
    bolt_class_yield : shape (..., boltclass), [Pa]
        Yield stress.

    Returns
    -------
    bolt_yield_stress : shape (...), [Pa]
        Yield stress used.

    Notes
    -----
    The maker's own figure comes before that of the class. nan where there is none and the class is
    missing or not in the table.

    Source
    ------
    ISO 898-1 and SAE J429 (both from memory).

    Examples
    --------
    >>> names, stresses = np.array([1.0, 2.0]), np.array([640e6, 940e6])
    >>> float(bolt_yield_stress(np.array([1241e6]), np.array([2.0]), names, stresses)) / 1e6
    1241.0
    """
    return stress_used(bolt_yield_own, bolt_class, bolt_class_name, bolt_class_yield)


def bolt_proof_load(bolt_stress_area: Value, bolt_proof_stress: Value) -> Value:
    r"""Load that the thread of the rod bolt is proved to bear without set.

    .. math:: F_p = A_s S_p

    Parameters
    ----------
    bolt_stress_area : shape (...), [m^2]
        Tensile stress area.
    bolt_proof_stress : shape (...), [Pa]
        Proof stress used.

    Returns
    -------
    bolt_proof_load : shape (...), [N]
        Proof load.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    ISO 898-1 (from memory).

    Examples
    --------
    >>> bolt_proof_load(39.1671006e-6, 830e6)
    32508.6935
    """
    return bolt_stress_area * bolt_proof_stress


def bolt_preload_wanted(
    bolt_preload_share: Value, bolt_yield_stress: Value, bolt_least_area: Value
) -> Value:
    r"""Preload wanted: a share of what makes the smallest section yield.

    .. math:: F^* = s R_{p0.2} A_{min}

    Parameters
    ----------
    bolt_preload_share : shape (...), [1]
        Preload wanted, share of yield.
    bolt_yield_stress : shape (...), [Pa]
        Yield stress used.
    bolt_least_area : shape (...), [m^2]
        Smallest area.

    Returns
    -------
    bolt_preload_wanted : shape (...), [N]
        Preload wanted.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Common practice, no source; the bolt maker's stretch comes first.

    Examples
    --------
    >>> bolt_preload_wanted(0.75, 1100e6, 37.39280656e-6)
    30849.06541
    """
    return bolt_preload_share * bolt_yield_stress * bolt_least_area


def bolt_stretch_wanted(bolt_preload_wanted: Value, bolt_compliance: Value) -> Value:
    r"""Stretch that goes with the preload wanted.

    .. math:: \Delta L^* = F^* \delta

    Parameters
    ----------
    bolt_preload_wanted : shape (...), [N]
        Preload wanted.
    bolt_compliance : shape (...), [m/N]
        Compliance of the bolt.

    Returns
    -------
    bolt_stretch_wanted : shape (...), [m]
        Stretch for it.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Hooke's law.

    Examples
    --------
    >>> bolt_stretch_wanted(20e3, 6.009757001e-9) * 1e3
    0.12019514
    """
    return bolt_preload_wanted * bolt_compliance
