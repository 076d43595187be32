"""The bob-weights that stand for pistons and rods while the crank is balanced."""

import numpy as np

from validators.reference.value import Value, only_where, rounded_nine
from validators.reference.words import BalanceNeed


def bob_weight(
    cylinder_rotating_mass: Value,
    cylinder_reciprocating_mass: Value,
    balance_share: Value,
    oil_mass: Value,
    cylinder_crankpin: Value,
    crankpin_number: Value,
) -> Value:
    r"""Bob-weight of a crankpin.

    .. math:: \sum_{rods\ on\ the\ pin} (W_b + m_{shells} + p \, m_{rec}) + m_{oil}

    Parameters
    ----------
    cylinder_rotating_mass : shape (..., cylinder), [kg]
        Rotating mass of the rod, with shells.
    cylinder_reciprocating_mass : shape (..., cylinder), [kg]
        Reciprocating mass.
    balance_share : shape (...), [1]
        Reciprocating share balanced.
    oil_mass : shape (...), [kg]
        Oil on a pin.
    cylinder_crankpin : shape (..., cylinder), [1]
        Crankpin.
    crankpin_number : shape (..., crankpin), [1]
        Crankpin.

    Returns
    -------
    bob_weight : shape (..., crankpin), [kg]
        Bob-weight.

    Notes
    -----
    nan unless both masses of every rod on the pin are there. The share is a plain fraction; a half
    is exact for two rods on a pin and cylinders at a right angle, a compromise for every other V.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> rotating, reciprocating = np.array([472.0, 472.0]), np.array([746.0, 746.0])
    >>> typed, pins = (np.array([0.5]), np.array([4.0])), (np.array([1, 1]), np.array([1]))
    >>> float(bob_weight(rotating, reciprocating, *typed, *pins))
    1694.0
    """
    on_this_pin = np.equal(cylinder_crankpin, crankpin_number)
    of_each_rod = cylinder_rotating_mass + balance_share * cylinder_reciprocating_mass
    return np.sum(np.where(on_this_pin, of_each_rod, 0.0), axis=-1) + oil_mass[..., 0]


def layout_along(throw_angle: Value) -> Value:
    r"""Direction of a cylinder's throw, along the zero direction.

    .. math:: \cos\varphi

    Parameters
    ----------
    throw_angle : shape (..., crankpin), [rad]
        Throw, angle; that of each cylinder's crankpin arrives.

    Returns
    -------
    layout_along : shape (..., cylinder), [1]
        Throw, along.

    Notes
    -----
    nan where the angle is missing.

    Source
    ------
    Definition.

    Examples
    --------
    >>> float(layout_along(np.radians(60.0)))
    0.5
    """
    return np.cos(throw_angle)


def layout_aside(throw_angle: Value) -> Value:
    r"""Direction of a cylinder's throw, square to the zero direction.

    .. math:: \sin\varphi

    Parameters
    ----------
    throw_angle : shape (..., crankpin), [rad]
        Throw, angle; that of each cylinder's crankpin arrives.

    Returns
    -------
    layout_aside : shape (..., cylinder), [1]
        Throw, aside.

    Notes
    -----
    nan where the angle is missing.

    Source
    ------
    Definition.

    Examples
    --------
    >>> float(layout_aside(np.radians(30.0)))
    0.5
    """
    return np.sin(throw_angle)


def layout_unbalance(layout_along: Value, layout_aside: Value) -> Value:
    r"""How many cylinders' masses are left over where all are equal.

    .. math:: \left| \sum_i e^{i \varphi_i} \right|

    Parameters
    ----------
    layout_along : shape (..., cylinder), [1]
        Throw, along.
    layout_aside : shape (..., cylinder), [1]
        Throw, aside.

    Returns
    -------
    layout_unbalance : shape (...), [1]
        Equal masses: cylinders left over.

    Notes
    -----
    nan unless the throw of every cylinder is known. Of the primary vectors only those that turn with
    the crank are counted: nothing else can be taken up by counterweights.

    Source
    ------
    Textbooks on theory of machines (from memory): length of a sum of vectors.

    Examples
    --------
    >>> throws = np.radians([0.0, 120.0, 240.0])
    >>> abs(round(float(layout_unbalance(np.cos(throws), np.sin(throws))), 9))
    0.0
    """
    return np.hypot(np.sum(layout_along, axis=-1), np.sum(layout_aside, axis=-1))


def layout_couple(layout_along: Value, layout_aside: Value, balance_arm: Value) -> Value:
    r"""How many cylinders' masses, at both ends of the engine, have the couple of all equal ones.

    .. math:: \frac{\left| \sum_i z_i e^{i \varphi_i} \right|}{2 \max z_i}

    Parameters
    ----------
    layout_along : shape (..., cylinder), [1]
        Throw, along.
    layout_aside : shape (..., cylinder), [1]
        Throw, aside.
    balance_arm : shape (..., cylinder), [m]
        From the middle of the engine.

    Returns
    -------
    layout_couple : shape (...), [1]
        Equal masses: cylinders left over at the ends.

    Notes
    -----
    nan unless throw and place of every cylinder are known. Where all are at one place there is no
    couple.

    Source
    ------
    Textbooks on theory of machines (from memory): length of a sum of vectors.

    Examples
    --------
    >>> throws, arms = np.radians([0.0, 180.0]), np.array([-0.05, 0.05])
    >>> float(layout_couple(np.cos(throws), np.sin(throws), arms))
    1.0
    >>> float(layout_couple(np.cos(throws), np.sin(throws), 0 * arms))
    0.0
    """
    along = np.sum(layout_along * balance_arm, axis=-1)
    aside = np.sum(layout_aside * balance_arm, axis=-1)
    farthest = np.max(balance_arm, axis=-1)
    couple = np.hypot(along, aside)
    # Of an engine with all cylinders at one place there is none: nought, unless it is missing.
    counts = np.isnan(couple) | (farthest > 0)
    return np.where(counts, couple / (2 * only_where(counts, farthest)), 0.0)


def bob_weight_need(
    layout_unbalance: Value, layout_couple: Value, layout_balanced: Value
) -> Value:
    r"""Whether the crank of this layout is to be balanced with bob-weights.

    .. math:: \left| \sum_i e^{i \varphi_i} \right| > e \quad \text{or} \quad
        \frac{\left| \sum_i z_i e^{i \varphi_i} \right|}{2 \max z_i} > e

    Parameters
    ----------
    layout_unbalance : shape (...), [1]
        Equal masses: cylinders left over.
    layout_couple : shape (...), [1]
        Equal masses: cylinders left over at the ends.
    layout_balanced : shape (...), [1]
        Equal masses count as balanced up to.

    Returns
    -------
    bob_weight_need : shape (...), [1]
        Bob-weight.

    Notes
    -----
    A property of the layout: what the parts weigh does not count. Waiting, where the throws are not
    known, or nothing is left over and the places along the crank are not known. Compared at nine
    decimals.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> nan = np.nan
    >>> [int(bob_weight_need(*sums, 0.02)) for sums in ((nan, nan), (0.0, nan), (0.0, 0.01))]
    [0, 0, 1]
    >>> [int(bob_weight_need(*sums, 0.02)) for sums in ((1.0, nan), (0.0, 0.5))]
    [2, 2]
    """
    over = rounded_nine(layout_unbalance - layout_balanced)
    couple_over = rounded_nine(layout_couple - layout_balanced)
    return np.select(
        [np.isnan(over), over > 0, np.isnan(couple_over), couple_over > 0],
        [BalanceNeed.WAITING, BalanceNeed.NEEDED, BalanceNeed.WAITING, BalanceNeed.NEEDED],
        BalanceNeed.NOT_NEEDED,
    )
