"""What each offered gasket would give, and what the thinnest one that clears costs."""

import numpy as np

from validators.reference.value import Value, only_where, rounded_nine
from validators.reference.words import OfferState


def offer_volume(
    chamber_volume: Value,
    deck_volume: Value,
    crown_volume: Value,
    crevice_volume: Value,
    gasket_bore: Value,
    gasket_thickness: Value,
) -> Value:
    r"""Clearance volume of a cylinder with an offered gasket.

    .. math:: V_{ch} + V_d + V_p + V_{cr} + \frac{\pi}{4} G^2 t

    Parameters
    ----------
    chamber_volume : shape (..., cylinder), [m^3]
        Chamber volume.
    deck_volume : shape (..., cylinder), [m^3]
        Deck volume.
    crown_volume : shape (..., cylinder), [m^3]
        Crown volume (dish +, dome -).
    crevice_volume : shape (..., cylinder), [m^3]
        Crevice volume.
    gasket_bore : shape (...), [m]
        Gasket bore.
    gasket_thickness : shape (..., offer), [m]
        Gasket offered, compressed.

    Returns
    -------
    offer_volume : shape (..., cylinder, offer), [m^3]
        Clearance volume.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Definition.

    Examples
    --------
    >>> float(offer_volume(48e-6, 2e-6, 2.5e-6, 0.6e-6, 0.094, 0.8e-3) * 1e6)
    58.651822
    """
    return chamber_volume + deck_volume + crown_volume + crevice_volume + (
        np.pi / 4 * gasket_bore**2 * gasket_thickness
    )


def offer_ratio(swept_volume: Value, offer_volume: Value) -> Value:
    r"""Compression ratio of a cylinder with an offered gasket.

    .. math:: \frac{V_s + V_c}{V_c}

    Parameters
    ----------
    swept_volume : shape (..., cylinder), [m^3]
        Swept volume.
    offer_volume : shape (..., cylinder, offer), [m^3]
        Clearance volume.

    Returns
    -------
    offer_ratio : shape (..., cylinder, offer), [1]
        Ratio.

    Notes
    -----
    nan where an input is missing, or the clearance volume is not above 0.

    Source
    ------
    Definition; the word from ISO 2710-1 (from memory).

    Examples
    --------
    >>> float(offer_ratio(550e-6, 55e-6))
    11.0
    """
    held = only_where(offer_volume > 0, offer_volume)
    return (swept_volume + held) / held


def offer_static_least(offer_static: Value) -> Value:
    r"""Smallest over the cylinders with an offered gasket: piston to head at rest.

    .. math:: \min_i x_i

    Parameters
    ----------
    offer_static : shape (..., cylinder, offer), [m]
        Piston to head at rest.

    Returns
    -------
    offer_static_least : shape (..., offer), [m]
        Squish, least.

    Notes
    -----
    nan unless it is known for every cylinder.

    Source
    ------
    An extreme, no equation.

    Examples
    --------
    >>> float(offer_static_least(np.array([3.0, 1.0, 2.0])))
    1.0
    >>> float(offer_static_least(np.array([3.0, np.nan])))
    nan
    """
    return np.min(offer_static, axis=-1)


def offer_static_most(offer_static: Value) -> Value:
    r"""Largest over the cylinders with an offered gasket: piston to head at rest.

    .. math:: \max_i x_i

    Parameters
    ----------
    offer_static : shape (..., cylinder, offer), [m]
        Piston to head at rest.

    Returns
    -------
    offer_static_most : shape (..., offer), [m]
        Squish, largest.

    Notes
    -----
    nan unless it is known for every cylinder.

    Source
    ------
    An extreme, no equation.

    Examples
    --------
    >>> float(offer_static_most(np.array([3.0, 1.0, 2.0])))
    3.0
    >>> float(offer_static_most(np.array([3.0, np.nan])))
    nan
    """
    return np.max(offer_static, axis=-1)


def offer_speed_least(offer_speed: Value) -> Value:
    r"""Smallest over the cylinders with an offered gasket: piston to head at speed.

    .. math:: \min_i x_i

    Parameters
    ----------
    offer_speed : shape (..., cylinder, offer), [m]
        Piston to head at speed.

    Returns
    -------
    offer_speed_least : shape (..., offer), [m]
        At speed, least.

    Notes
    -----
    nan unless it is known for every cylinder.

    Source
    ------
    An extreme, no equation.

    Examples
    --------
    >>> float(offer_speed_least(np.array([3.0, 1.0, 2.0])))
    1.0
    >>> float(offer_speed_least(np.array([3.0, np.nan])))
    nan
    """
    return np.min(offer_speed, axis=-1)


def offer_ratio_least(offer_ratio: Value) -> Value:
    r"""Smallest over the cylinders with an offered gasket: compression ratio.

    .. math:: \min_i x_i

    Parameters
    ----------
    offer_ratio : shape (..., cylinder, offer), [1]
        Compression ratio.

    Returns
    -------
    offer_ratio_least : shape (..., offer), [1]
        Ratio, lowest.

    Notes
    -----
    nan unless it is known for every cylinder.

    Source
    ------
    An extreme, no equation.

    Examples
    --------
    >>> float(offer_ratio_least(np.array([3.0, 1.0, 2.0])))
    1.0
    >>> float(offer_ratio_least(np.array([3.0, np.nan])))
    nan
    """
    return np.min(offer_ratio, axis=-1)


def offer_ratio_most(offer_ratio: Value) -> Value:
    r"""Largest over the cylinders with an offered gasket: compression ratio.

    .. math:: \max_i x_i

    Parameters
    ----------
    offer_ratio : shape (..., cylinder, offer), [1]
        Compression ratio.

    Returns
    -------
    offer_ratio_most : shape (..., offer), [1]
        Ratio, highest.

    Notes
    -----
    nan unless it is known for every cylinder.

    Source
    ------
    An extreme, no equation.

    Examples
    --------
    >>> float(offer_ratio_most(np.array([3.0, 1.0, 2.0])))
    3.0
    >>> float(offer_ratio_most(np.array([3.0, np.nan])))
    nan
    """
    return np.max(offer_ratio, axis=-1)


def offer_state(
    gasket_thickness: Value,
    offer_clears: Value,
    offer_ratio_least: Value,
    offer_ratio_most: Value,
    compression_ratio_lower: Value,
    compression_ratio_upper: Value,
) -> Value:
    """What an offered gasket would do if it were fitted on every bank.

    Parameters
    ----------
    gasket_thickness : shape (..., offer), [m]
        Gasket offered, compressed.
    offer_clears : shape (..., cylinder, offer), [1]
        Clears (1) or not (0).
    offer_ratio_least, offer_ratio_most : shape (..., offer), [1]
        Ratio, lowest and highest.
    compression_ratio_lower, compression_ratio_upper : shape (...), [1]
        Limits of the compression ratio.

    Returns
    -------
    offer_state : shape (..., offer), [1]
        This gasket.

    Notes
    -----
    The ratio is compared as it stands, at nine decimals; a limit that is not set excludes nothing.

    Source
    ------
    A look-up, no equation.

    Examples
    --------
    >>> clears = np.array([1.0, 1.0])
    >>> ratios = [np.array([ratio]) for ratio in (10.2, 10.4, 9.0, 10.3)]
    >>> int(offer_state(np.array([0.8]), clears, *ratios))
    4
    """
    thickness, least, most, lower, upper = (
        value[..., 0]
        for value in (
            gasket_thickness,
            offer_ratio_least,
            offer_ratio_most,
            compression_ratio_lower,
            compression_ratio_upper,
        )
    )
    outside = (rounded_nine(least - lower) < 0) | (rounded_nine(most - upper) > 0)
    return np.select(
        [
            np.isnan(thickness),
            np.any(np.isnan(offer_clears), axis=-1),
            np.any(np.equal(offer_clears, 0.0), axis=-1),
            np.isnan(least),
            outside,
        ],
        [
            OfferState.NOT_OFFERED,
            OfferState.NOT_MEASURED,
            OfferState.DOES_NOT_CLEAR,
            OfferState.RATIO_NOT_KNOWN,
            OfferState.RATIO_OUTSIDE,
        ],
        OfferState.CLEARS,
    )


def gasket_pick_static(gasket_pick: Value, deck_clearance_mean: Value, crown_step: Value) -> Value:
    r"""Piston to head at rest with the thinnest gasket that clears the bank.

    .. math:: t + \bar\delta + o

    Parameters
    ----------
    gasket_pick : shape (..., bank), [m]
        Thinnest gasket that clears.
    deck_clearance_mean : shape (..., cylinder), [m]
        Deck clearance, mean.
    crown_step : shape (...), [m]
        Step of crown or chamber.

    Returns
    -------
    gasket_pick_static : shape (..., cylinder), [m]
        Squish with the thinnest.

    Notes
    -----
    nan where an input is missing, or no gasket clears.

    Source
    ------
    Addition.

    Examples
    --------
    >>> float(gasket_pick_static(1.0, 0.29, -0.1))
    1.19
    """
    return gasket_pick + deck_clearance_mean + crown_step


def gasket_pick_speed(
    gasket_pick: Value,
    deck_clearance_least: Value,
    crown_step: Value,
    rod_stretch: Value,
    take_up: Value,
    thermal_rise_counted: Value,
) -> Value:
    r"""Piston to head at speed with the thinnest gasket that clears the bank.

    .. math:: t + \delta_{least} + o - s - f - \Delta

    Parameters
    ----------
    gasket_pick : shape (..., bank), [m]
        Thinnest gasket that clears.
    deck_clearance_least : shape (..., cylinder), [m]
        Deck clearance, least.
    crown_step : shape (...), [m]
        Step of crown or chamber.
    rod_stretch : shape (...), [m]
        Rod stretch at speed.
    take_up : shape (..., cylinder), [m]
        Bearing take-up.
    thermal_rise_counted : shape (...), [m]
        Crown rise by heat, counted.

    Returns
    -------
    gasket_pick_speed : shape (..., cylinder), [m]
        At speed with the thinnest.

    Notes
    -----
    nan where an input is missing, or no gasket clears.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(gasket_pick_speed(1.0, 0.235, 0.0, 0.069, 0.054, 0.0))
    1.112
    """
    at_rest = gasket_pick + deck_clearance_least + crown_step
    return at_rest - rod_stretch - take_up - thermal_rise_counted


def gasket_pick_volume(
    chamber_volume: Value,
    deck_volume: Value,
    crown_volume: Value,
    crevice_volume: Value,
    gasket_bore: Value,
    gasket_pick: Value,
) -> Value:
    r"""Clearance volume with the thinnest gasket that clears the bank.

    .. math:: V_{ch} + V_d + V_p + V_{cr} + \frac{\pi}{4} G^2 t

    Parameters
    ----------
    chamber_volume : shape (..., cylinder), [m^3]
        Chamber volume.
    deck_volume : shape (..., cylinder), [m^3]
        Deck volume.
    crown_volume : shape (..., cylinder), [m^3]
        Crown volume (dish +, dome -).
    crevice_volume : shape (..., cylinder), [m^3]
        Crevice volume.
    gasket_bore : shape (...), [m]
        Gasket bore.
    gasket_pick : shape (..., bank), [m]
        Thinnest gasket that clears.

    Returns
    -------
    gasket_pick_volume : shape (..., cylinder), [m^3]
        Clearance volume with the thinnest.

    Notes
    -----
    nan where an input is missing, or no gasket clears.

    Source
    ------
    Definition.

    Examples
    --------
    >>> float(gasket_pick_volume(48e-6, 2e-6, 2.5e-6, 0.6e-6, 0.094, 0.8e-3) * 1e6)
    58.651822
    """
    return chamber_volume + deck_volume + crown_volume + crevice_volume + (
        np.pi / 4 * gasket_bore**2 * gasket_pick
    )


def gasket_pick_ratio(swept_volume: Value, gasket_pick_volume: Value) -> Value:
    r"""Compression ratio with the thinnest gasket that clears the bank.

    .. math:: \frac{V_s + V_c}{V_c}

    Parameters
    ----------
    swept_volume : shape (..., cylinder), [m^3]
        Swept volume.
    gasket_pick_volume : shape (..., cylinder), [m^3]
        Clearance volume with the thinnest.

    Returns
    -------
    gasket_pick_ratio : shape (..., cylinder), [1]
        Ratio with the thinnest.

    Notes
    -----
    nan where an input is missing, or the clearance volume is not above 0.

    Source
    ------
    Definition; the word from ISO 2710-1 (from memory).

    Examples
    --------
    >>> float(gasket_pick_ratio(550e-6, 55e-6))
    11.0
    """
    held = only_where(gasket_pick_volume > 0, gasket_pick_volume)
    return (swept_volume + held) / held
