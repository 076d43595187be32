"""Weighed parts: the two ends of the rod, and what goes up and down and round."""

import numpy as np

from validators.reference.value import Value, rounded_nine
from validators.reference.words import WeighingState


def rod_weighing_closure(
    rod_small_mass: Value, rod_big_mass: Value, rod_total_mass: Value
) -> Value:
    r"""How much more the two ends of a rod weigh than the whole rod.

    .. math:: W_s + W_b - W

    Parameters
    ----------
    rod_small_mass : shape (..., cylinder), [kg]
        Rod, small end.
    rod_big_mass : shape (..., cylinder), [kg]
        Rod, big end.
    rod_total_mass : shape (..., cylinder), [kg]
        Rod, whole.

    Returns
    -------
    rod_weighing_closure : shape (..., cylinder), [kg]
        Ends minus whole.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Balance of forces on a rod that lies on two scales.

    Examples
    --------
    >>> rod_weighing_closure(157.1, 428.2, 585.0)
    0.3
    """
    return rod_small_mass + rod_big_mass - rod_total_mass


def rod_weighing_state(
    rod_weighing_closure: Value, scale_resolution: Value, shown_mass: Value
) -> Value:
    r"""Whether the ends of a rod weigh what the whole rod weighs.

    .. math:: |W_s + W_b - W| \le 2 r

    Parameters
    ----------
    rod_weighing_closure : shape (..., cylinder), [kg]
        Ends minus whole.
    scale_resolution : shape (...), [kg]
        Scale, resolution.
    shown_mass : shape (...), [kg]
        SI size of the unit of mass that the workbook shows.

    Returns
    -------
    rod_weighing_state : shape (..., cylinder), [1]
        Weighings of the rod.

    Notes
    -----
    One weighing only, where the closure or the resolution is missing. Compared at nine decimals of
    the unit that the workbook shows.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> [int(rod_weighing_state(gap, 0.1, 1.0)) for gap in (np.nan, -0.2, 0.3)]
    [0, 1, 2]
    """
    beyond = np.abs(rod_weighing_closure) - 2 * scale_resolution
    return np.select(
        [np.isnan(beyond), rounded_nine(beyond / shown_mass) <= 0],
        [WeighingState.ONE_WEIGHING_ONLY, WeighingState.AGREE],
        WeighingState.DISAGREE,
    )


def cylinder_reciprocating_mass(
    piston_mass: Value, pin_mass: Value, ring_mass: Value, lock_mass: Value, rod_small_mass: Value
) -> Value:
    r"""Mass that goes up and down with the piston of a cylinder.

    .. math:: m_{rec} = m_{piston} + m_{pin} + m_{rings} + m_{locks} + W_s

    Parameters
    ----------
    piston_mass : shape (..., cylinder), [kg]
        Piston.
    pin_mass : shape (..., cylinder), [kg]
        Pin.
    ring_mass : shape (..., cylinder), [kg]
        Ring set.
    lock_mass : shape (..., cylinder), [kg]
        Pin retainers.
    rod_small_mass : shape (..., cylinder), [kg]
        Rod, small end.

    Returns
    -------
    cylinder_reciprocating_mass : shape (..., cylinder), [kg]
        Reciprocating mass.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Sum; the rod replaced by two masses, as textbooks on theory of machines do (from memory).

    Examples
    --------
    >>> cylinder_reciprocating_mass(345.6, 92.3, 38.0, 3.0, 148.2)
    627.1
    """
    return piston_mass + pin_mass + ring_mass + lock_mass + rod_small_mass


def cylinder_rotating_mass(rod_big_mass: Value, shell_mass: Value) -> Value:
    r"""Mass of a cylinder's rod that goes round with the crankpin.

    .. math:: m_{rot} = W_b + m_{shells}

    Parameters
    ----------
    rod_big_mass : shape (..., cylinder), [kg]
        Rod, big end.
    shell_mass : shape (...), [kg]
        Rod shells, a pair.

    Returns
    -------
    cylinder_rotating_mass : shape (..., cylinder), [kg]
        Rotating mass of the rod, with shells.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Sum; the rod replaced by two masses, as textbooks on theory of machines do (from memory).

    Examples
    --------
    >>> cylinder_rotating_mass(428.0, 44.0)
    472.0
    """
    return rod_big_mass + shell_mass
