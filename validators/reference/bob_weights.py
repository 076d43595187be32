"""The bob-weights that stand for pistons and rods while the crank is balanced."""

import numpy as np

from validators.reference.value import Value, rounded_nine
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


def bob_weight_need(
    unbalanced_mass_primary_with: Value,
    unbalanced_moment_primary_with: Value,
    mass_guard: Value,
    cylinder_position: Value,
    shown_mass: Value,
    shown_length: Value,
) -> Value:
    r"""Whether the crank is to be balanced with bob-weights.

    .. math:: m_{P+} \ge U \quad \text{or} \quad M_{P+} \ge U (z_{max} - z_{min})

    Parameters
    ----------
    unbalanced_mass_primary_with : shape (...), [kg]
        Unbalanced mass, primary, with the crank.
    unbalanced_moment_primary_with : shape (...), [kg*m]
        Unbalanced mass times distance, primary, with the crank.
    mass_guard : shape (...), [kg]
        U, difference of two weighings.
    cylinder_position : shape (..., cylinder), [m]
        Place along the crank.
    shown_mass : shape (...), [kg]
        SI size of the unit of mass that the workbook shows.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    bob_weight_need : shape (...), [1]
        Bob-weight.

    Notes
    -----
    Waiting, where an input is missing. Counterweights can take up what turns with the crank, and
    nothing else; what weighing cannot tell from nothing needs none. Compared at nine decimals of
    the units that the workbook shows.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> places, units = np.array([0.0, 0.3]), (np.array([0.001]), np.array([0.001]))
    >>> def need(mass, moment):
    ...     sums = np.array([mass]), np.array([moment])
    ...     return int(bob_weight_need(*sums, np.array([0.0002]), places, *units))
    >>> need(np.nan, 0.0), need(0.0001, 0.00005), need(0.0001, 0.00006), need(0.0002, 0.0)
    (0, 1, 2, 2)
    """
    mass, moment = unbalanced_mass_primary_with[..., 0], unbalanced_moment_primary_with[..., 0]
    guard, gram, length = mass_guard[..., 0], shown_mass[..., 0], shown_length[..., 0]
    reach = np.max(cylinder_position, axis=-1) - np.min(cylinder_position, axis=-1)
    mass_over = rounded_nine((mass - guard) / gram)
    moment_over = rounded_nine((moment - guard * reach) / (gram * length))
    return np.select(
        [np.isnan(mass_over) | np.isnan(moment_over), (mass_over >= 0) | (moment_over >= 0)],
        [BalanceNeed.WAITING, BalanceNeed.NEEDED],
        BalanceNeed.NOT_NEEDED,
    )
