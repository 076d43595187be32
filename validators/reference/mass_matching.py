"""How evenly the weighed parts match, and what to take off them."""

import numpy as np

from validators.reference.value import Value


def piston_trim(piston_mass: Value) -> Value:
    r"""How much heavier the piston of a cylinder is than the lightest of them.

    .. math:: m - \min m

    Parameters
    ----------
    piston_mass : shape (..., cylinder), [kg]
        Piston.

    Returns
    -------
    piston_trim : shape (..., cylinder), [kg]
        Take off the piston.

    Notes
    -----
    nan unless every one is weighed. Taken off only where the maker allows it.

    Source
    ------
    Common practice: all are brought to the lightest.

    Examples
    --------
    >>> piston_trim(np.array([345.6, 344.2, 346.1, 345.0])).tolist()
    [1.4, 0.0, 1.9, 0.8]
    """
    return piston_mass - np.min(piston_mass, axis=-1, keepdims=True)


def rod_small_trim(rod_small_mass: Value) -> Value:
    r"""How much heavier the rod's small end of a cylinder is than the lightest of them.

    .. math:: m - \min m

    Parameters
    ----------
    rod_small_mass : shape (..., cylinder), [kg]
        Rod, small end.

    Returns
    -------
    rod_small_trim : shape (..., cylinder), [kg]
        Take off the small end.

    Notes
    -----
    nan unless every one is weighed. Taken off only where the maker allows it.

    Source
    ------
    Common practice: all are brought to the lightest.

    Examples
    --------
    >>> rod_small_trim(np.array([345.6, 344.2, 346.1, 345.0])).tolist()
    [1.4, 0.0, 1.9, 0.8]
    """
    return rod_small_mass - np.min(rod_small_mass, axis=-1, keepdims=True)


def rod_big_trim(rod_big_mass: Value) -> Value:
    r"""How much heavier the rod's big end of a cylinder is than the lightest of them.

    .. math:: m - \min m

    Parameters
    ----------
    rod_big_mass : shape (..., cylinder), [kg]
        Rod, big end.

    Returns
    -------
    rod_big_trim : shape (..., cylinder), [kg]
        Take off the big end.

    Notes
    -----
    nan unless every one is weighed. Taken off only where the maker allows it.

    Source
    ------
    Common practice: all are brought to the lightest.

    Examples
    --------
    >>> rod_big_trim(np.array([345.6, 344.2, 346.1, 345.0])).tolist()
    [1.4, 0.0, 1.9, 0.8]
    """
    return rod_big_mass - np.min(rod_big_mass, axis=-1, keepdims=True)


def piston_mass_spread(piston_mass: Value) -> Value:
    r"""Difference between the heaviest and the lightest piston.

    .. math:: \max m - \min m

    Parameters
    ----------
    piston_mass : shape (..., cylinder), [kg]
        Piston.

    Returns
    -------
    piston_mass_spread : shape (...), [kg]
        Pistons, spread.

    Notes
    -----
    nan unless every one is weighed.

    Source
    ------
    Definition. Usual up to 2 g, for racing up to 1 g: common practice, no source.

    Examples
    --------
    >>> float(piston_mass_spread(np.array([345.6, 344.2, 346.1, 345.0])))
    1.9
    """
    return np.max(piston_mass, axis=-1) - np.min(piston_mass, axis=-1)


def pin_mass_spread(pin_mass: Value) -> Value:
    r"""Difference between the heaviest and the lightest pin.

    .. math:: \max m - \min m

    Parameters
    ----------
    pin_mass : shape (..., cylinder), [kg]
        Pin.

    Returns
    -------
    pin_mass_spread : shape (...), [kg]
        Pins, spread.

    Notes
    -----
    nan unless every one is weighed.

    Source
    ------
    Definition. Usual up to 2 g, for racing up to 1 g: common practice, no source.

    Examples
    --------
    >>> float(pin_mass_spread(np.array([345.6, 344.2, 346.1, 345.0])))
    1.9
    """
    return np.max(pin_mass, axis=-1) - np.min(pin_mass, axis=-1)


def rod_small_spread(rod_small_mass: Value) -> Value:
    r"""Difference between the heaviest and the lightest small end.

    .. math:: \max m - \min m

    Parameters
    ----------
    rod_small_mass : shape (..., cylinder), [kg]
        Rod, small end.

    Returns
    -------
    rod_small_spread : shape (...), [kg]
        Small ends, spread.

    Notes
    -----
    nan unless every one is weighed.

    Source
    ------
    Definition. Usual up to 2 g, for racing up to 1 g: common practice, no source.

    Examples
    --------
    >>> float(rod_small_spread(np.array([345.6, 344.2, 346.1, 345.0])))
    1.9
    """
    return np.max(rod_small_mass, axis=-1) - np.min(rod_small_mass, axis=-1)


def rod_big_spread(rod_big_mass: Value) -> Value:
    r"""Difference between the heaviest and the lightest big end.

    .. math:: \max m - \min m

    Parameters
    ----------
    rod_big_mass : shape (..., cylinder), [kg]
        Rod, big end.

    Returns
    -------
    rod_big_spread : shape (...), [kg]
        Big ends, spread.

    Notes
    -----
    nan unless every one is weighed.

    Source
    ------
    Definition. Usual up to 2 g, for racing up to 1 g: common practice, no source.

    Examples
    --------
    >>> float(rod_big_spread(np.array([345.6, 344.2, 346.1, 345.0])))
    1.9
    """
    return np.max(rod_big_mass, axis=-1) - np.min(rod_big_mass, axis=-1)


def reciprocating_guard(mass_guard: Value) -> Value:
    r"""Uncertainty U of the difference of two reciprocating masses, each the sum of five weighings.

    .. math:: \sqrt{5} \, U

    Parameters
    ----------
    mass_guard : shape (...), [kg]
        U, difference of two weighings.

    Returns
    -------
    reciprocating_guard : shape (...), [kg]
        U, difference of two reciprocating masses.

    Notes
    -----
    Piston, pin, rings, retainers and small end are weighed one by one. nan where U is.

    Source
    ------
    JCGM 100, law of propagation of uncertainty (from memory).

    Examples
    --------
    >>> float(reciprocating_guard(0.2e-3)) * 1e3
    0.4472136
    """
    return np.sqrt(5) * mass_guard


def reciprocating_spread(cylinder_reciprocating_mass: Value) -> Value:
    r"""Difference between the heaviest and the lightest reciprocating mass.

    .. math:: \max m - \min m

    Parameters
    ----------
    cylinder_reciprocating_mass : shape (..., cylinder), [kg]
        Reciprocating mass.

    Returns
    -------
    reciprocating_spread : shape (...), [kg]
        Reciprocating masses, spread.

    Notes
    -----
    nan unless every one is weighed.

    Source
    ------
    Definition. Usual up to 2 g, for racing up to 1 g: common practice, no source.

    Examples
    --------
    >>> float(reciprocating_spread(np.array([345.6, 344.2, 346.1, 345.0])))
    1.9
    """
    lightest = np.min(cylinder_reciprocating_mass, axis=-1)
    return np.max(cylinder_reciprocating_mass, axis=-1) - lightest
