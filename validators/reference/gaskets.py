"""Which of the offered gaskets clears."""

import numpy as np

from validators.reference.present import smallest_present
from validators.reference.value import Value, only_where, rounded_nine
from validators.reference.words import GasketState


def offer_static(gasket_thickness: Value, deck_clearance_mean: Value, crown_step: Value) -> Value:
    r"""Clearance from piston to head with an offered gasket, engine at rest.

    .. math:: t + \delta + o

    Parameters
    ----------
    gasket_thickness : shape (..., offer), [m]
        Gasket offered, compressed.
    deck_clearance_mean : shape (..., cylinder), [m]
        Deck clearance.
    crown_step : shape (...), [m]
        Crown or chamber step (recess +).

    Returns
    -------
    offer_static : shape (..., cylinder, offer), [m]
        Static.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Sum of the heights.

    Examples
    --------
    >>> offer_static(0.8, 0.25, 0.0)
    1.05
    """
    return gasket_thickness + deck_clearance_mean + crown_step


def offer_speed(
    gasket_thickness: Value,
    deck_clearance_least: Value,
    crown_step: Value,
    rod_stretch: Value,
    take_up: Value,
    thermal_rise_counted: Value,
) -> Value:
    r"""Clearance from piston to head with an offered gasket, at the highest speed.

    .. math:: t + \delta_{least} + o - \Delta_{stretch} - \Delta_{take-up} - \max(0, \Delta_{heat})

    Parameters
    ----------
    gasket_thickness : shape (..., offer), [m]
        Gasket offered, compressed.
    deck_clearance_least : shape (..., cylinder), [m]
        Deck clearance, rocked.
    crown_step : shape (...), [m]
        Crown or chamber step (recess +).
    rod_stretch : shape (...), [m]
        Rod stretch at speed.
    take_up : shape (..., cylinder), [m]
        Bearing take-up.
    thermal_rise_counted : shape (...), [m]
        Crown rise by heat, counted.

    Returns
    -------
    offer_speed : shape (..., cylinder, offer), [m]
        At speed.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Sum of the heights; an estimate.

    Examples
    --------
    >>> offer_speed(1.0, 0.235, 0.0, 0.069, 0.054, 0.0)
    1.112
    """
    at_rest = gasket_thickness + deck_clearance_least + crown_step
    return at_rest - rod_stretch - take_up - thermal_rise_counted


def offer_clears(
    offer_static: Value,
    head_clearance_static_lower: Value,
    offer_speed: Value,
    head_clearance_speed_lower: Value,
    plain_guard_deck: Value,
    head_clearance_speed_guard_used: Value,
    shown_length: Value,
) -> Value:
    r"""Whether an offered gasket clears both limits, the uncertainty of a height taken off.

    .. math:: x_{static} - x_{static,lower} - g \ge 0 \quad \text{and} \quad
        x_{speed} - x_{speed,lower} - g_4 \ge 0

    Parameters
    ----------
    offer_static : shape (..., cylinder, offer), [m]
        Static.
    head_clearance_static_lower : shape (...), [m]
        Lower limit of: piston to head, static.
    offer_speed : shape (..., cylinder, offer), [m]
        At speed.
    head_clearance_speed_lower : shape (...), [m]
        Lower limit of: piston to head, at speed.
    plain_guard_deck : shape (...), [m]
        U, one reading as it stands, piston height at deck.
    head_clearance_speed_guard_used : shape (...), [m]
        U of the highest of four such readings.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    offer_clears : shape (..., cylinder, offer), [1]
        Clears (1) or not (0).

    Notes
    -----
    1 where it clears, 0 where it does not; nan where an input is missing. Compared at nine decimals
    of the unit that the workbook shows.

    Source
    ------
    Guard band by ISO 14253-1 (from memory).

    Examples
    --------
    >>> rest = 0.50, 0.0, 0.0, 1.0
    >>> [float(offer_clears(static, 0.95, 0.84, *rest)) for static in (1.05, 0.95, 0.94, np.nan)]
    [1.0, 1.0, 0.0, nan]
    """
    static_left = offer_static - head_clearance_static_lower - plain_guard_deck
    speed_left = offer_speed - head_clearance_speed_lower - head_clearance_speed_guard_used
    clears = (rounded_nine(static_left / shown_length) >= 0) & (
        rounded_nine(speed_left / shown_length) >= 0
    )
    known = ~(np.isnan(static_left) | np.isnan(speed_left))
    return only_where(known, clears)


def offer_passes(offer_clears: Value, cylinder_bank: Value, bank_number: Value) -> Value:
    r"""Cylinders of the bank that an offered gasket clears, their number.

    .. math:: \sum_{cylinders\ of\ the\ bank} clears

    Parameters
    ----------
    offer_clears : shape (..., cylinder, offer), [1]
        Clears (1) or not (0).
    cylinder_bank : shape (..., cylinder), [1]
        Bank.
    bank_number : shape (..., bank), [1]
        Bank.

    Returns
    -------
    offer_passes : shape (..., bank, offer), [1]
        Cylinders that clear.

    Notes
    -----
    nan unless it is known for every cylinder of the bank.

    Source
    ------
    A count.

    Examples
    --------
    >>> clears, banks = np.array([1.0, 0.0, 1.0, 1.0]), np.array([1, 2, 1, 2])
    >>> [float(offer_passes(clears, banks, bank)) for bank in (1, 2)]
    [2.0, 1.0]
    """
    of_this_bank = np.equal(cylinder_bank, bank_number)
    return np.sum(np.where(of_this_bank, offer_clears, 0.0), axis=-1)


def offer_thickness_passing(
    gasket_thickness: Value, offer_passes: Value, bank_cylinders: Value
) -> Value:
    r"""Thickness of an offered gasket that clears every cylinder of the bank.

    .. math:: t \text{ where the count equals the cylinders of the bank}

    Parameters
    ----------
    gasket_thickness : shape (..., offer), [m]
        Gasket offered, compressed.
    offer_passes : shape (..., bank, offer), [1]
        Cylinders that clear.
    bank_cylinders : shape (..., bank), [1]
        Cylinders of the bank.

    Returns
    -------
    offer_thickness_passing : shape (..., bank, offer), [m]
        Thickness, if it clears.

    Notes
    -----
    nan where it does not clear them all, or that is not known.

    Source
    ------
    A choice, no equation.

    Examples
    --------
    >>> [float(offer_thickness_passing(0.8, passing, 2)) for passing in (2, 1, np.nan)]
    [0.8, nan, nan]
    """
    return only_where(np.equal(offer_passes, bank_cylinders), gasket_thickness)


def gasket_pick(offer_thickness_passing: Value) -> Value:
    r"""Thinnest offered gasket that clears every cylinder of the bank.

    .. math:: \min t_{passing}

    Parameters
    ----------
    offer_thickness_passing : shape (..., bank, offer), [m]
        Thickness, if it clears.

    Returns
    -------
    gasket_pick : shape (..., bank), [m]
        Thinnest gasket that clears.

    Notes
    -----
    nan where none passes; never the thickest instead.

    Source
    ------
    Common practice: the thinnest that clears.

    Examples
    --------
    >>> float(gasket_pick(np.array([np.nan, 1.2, 1.4, np.nan])))
    1.2
    """
    return smallest_present(offer_thickness_passing)


def gasket_pick_state(offer_passes: Value, gasket_pick: Value) -> Value:
    """Whether one of the offered gaskets clears the bank.

    Parameters
    ----------
    offer_passes : shape (..., bank, offer), [1]
        Cylinders that clear.
    gasket_pick : shape (..., bank), [m]
        Thinnest gasket that clears.

    Returns
    -------
    gasket_pick_state : shape (..., bank), [1]
        Offered gaskets.

    Notes
    -----
    Not measured, where for no offer it is known how many cylinders it clears.

    Source
    ------
    A look-up, no equation.

    Examples
    --------
    >>> nothing, some = np.array([np.nan, np.nan]), np.array([1.0, np.nan])
    >>> int(gasket_pick_state(nothing, np.array([np.nan])))
    0
    >>> [int(gasket_pick_state(some, np.array([pick]))) for pick in (np.nan, 1.2)]
    [1, 2]
    """
    known = np.any(~np.isnan(offer_passes), axis=-1)
    return np.select(
        [~known, np.isnan(gasket_pick[..., 0])],
        [GasketState.NOT_MEASURED, GasketState.NONE_PASSES],
        GasketState.CLEARS,
    )
