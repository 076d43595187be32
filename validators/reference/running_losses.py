"""What brings the crown nearer to the head when the engine runs: stretch, take-up, heat."""

import numpy as np

from validators.reference.slider_crank import crank_radius
from validators.reference.value import Value, only_where
from validators.reference.words import PinFit


def rod_stretch(
    peak_acceleration: Value,
    rod_shank_length: Value,
    rod_shank_area: Value,
    rod_modulus: Value,
    reciprocating_mass_used: Value,
    rod_shank_mass: Value,
) -> Value:
    r"""Elastic stretch of the rod at top dead centre, with no gas force.

    .. math:: \frac{a L_f}{E A} \left(m_{pg} + \frac{m_{sh}}{2}\right)

    Parameters
    ----------
    peak_acceleration : shape (...), [m/s^2]
        Acceleration at true top, chosen.
    rod_shank_length : shape (...), [m]
        Rod shank length.
    rod_shank_area : shape (...), [m^2]
        Rod shank area, smallest.
    rod_modulus : shape (...), [Pa]
        Modulus of the rod used.
    reciprocating_mass_used : shape (...), [kg]
        Reciprocating mass used.
    rod_shank_mass : shape (...), [kg]
        Rod shank mass.

    Returns
    -------
    rod_stretch : shape (...), [m]
        Rod stretch at speed.

    Notes
    -----
    nan where an input is missing, or modulus or area is not above 0. Bending of pin and big end is
    left out, so the figure is on the low side.

    Source
    ------
    Elastic bar with its own spread mass; strength of materials (from memory).

    Examples
    --------
    >>> shank, masses = (0.100, 120e-6, 206e9), (0.628, 0.200)
    >>> float(rod_stretch(28243.21555, *shank, *masses)) * 1e3
    0.08317581279
    """
    stiffness = rod_modulus * rod_shank_area
    held = only_where((rod_modulus > 0) & (rod_shank_area > 0), stiffness)
    return peak_acceleration * rod_shank_length / held * (reciprocating_mass_used + rod_shank_mass / 2)


def main_take_up(main_clearance: Value) -> Value:
    r"""Largest main bearing clearance of the engine.

    .. math:: \max C_{main}

    Parameters
    ----------
    main_clearance : shape (..., main), [m]
        Oil clearance.

    Returns
    -------
    main_take_up : shape (...), [m]
        Largest main clearance.

    Notes
    -----
    nan unless every main bearing clearance is there.

    Source
    ------
    Common practice: the cautious figure.

    Examples
    --------
    >>> float(main_take_up(np.array([0.0474, 0.0545, 0.0420])))
    0.0545
    """
    return np.max(main_clearance, axis=-1)


def pin_take_up(piston_pin_clearance: Value, bush_pin_clearance: Value, pin_fit: Value) -> Value:
    r"""Clearance at the piston pin that counts: in the piston, and in the bush of a floating pin.

    .. math:: C_{pin} = C_{piston} + C_{bush} \text{ floating}, \qquad C_{piston} \text{ pressed}

    Parameters
    ----------
    piston_pin_clearance : shape (..., cylinder), [m]
        Pin clearance in piston.
    bush_pin_clearance : shape (..., cylinder), [m]
        Pin clearance in small end.
    pin_fit : shape (...), [1]
        Pin in the rod.

    Returns
    -------
    pin_take_up : shape (..., cylinder), [m]
        Pin clearance that counts.

    Notes
    -----
    nan where an input is missing; a pressed pin needs no bush.

    Source
    ------
    Common practice.

    Examples
    --------
    >>> float(pin_take_up(0.0075, 0.0145, 0)), float(pin_take_up(0.0075, np.nan, 1))
    (0.0220, 0.0075)
    """
    return np.where(
        np.equal(pin_fit, PinFit.FLOATING),
        piston_pin_clearance + bush_pin_clearance,
        np.where(np.equal(pin_fit, PinFit.PRESSED), piston_pin_clearance, np.nan),
    )


def take_up(
    take_up_factor: Value, main_take_up: Value, rod_clearance: Value, pin_take_up: Value
) -> Value:
    r"""Way that the bearings give at top dead centre.

    .. math:: f (C_{main} + C_{rod} + C_{pin})

    Parameters
    ----------
    take_up_factor : shape (...), [1]
        Bearing take-up, share of clearance.
    main_take_up : shape (...), [m]
        Largest main clearance.
    rod_clearance : shape (..., cylinder), [m]
        Oil clearance.
    pin_take_up : shape (..., cylinder), [m]
        Pin clearance that counts.

    Returns
    -------
    take_up : shape (..., cylinder), [m]
        Bearing take-up.

    Notes
    -----
    nan where an input is missing. Ignores the oil film that is left.

    Source
    ------
    Half the clearance from centred parts, all of it from parts at rest: competent people differ.

    Examples
    --------
    >>> take_up(0.5, 0.050, 0.047, 0.008)
    0.0525
    """
    return take_up_factor * (main_take_up + rod_clearance + pin_take_up)


def thermal_rise(
    stroke_nominal: Value,
    body_expansion_crank: Value,
    crank_rise: Value,
    rod_length: Value,
    body_expansion_rod: Value,
    rod_rise: Value,
    compression_height: Value,
    body_expansion_piston: Value,
    piston_rise: Value,
    deck_height: Value,
    body_expansion_block: Value,
    block_rise: Value,
) -> Value:
    r"""Rise of the crown over the deck by heat; negative where the block runs away from the piston.

    .. math:: R \alpha_c \Delta T_c + L \alpha_r \Delta T_r + h_c \alpha_p \Delta T_p
        - H \alpha_b \Delta T_b

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    body_expansion_crank : shape (...), [1/K]
        Expansion used, crank.
    crank_rise : shape (...), [K]
        Crank, rise above 20 °C.
    rod_length : shape (...), [m]
        Rod length, chosen.
    body_expansion_rod : shape (...), [1/K]
        Expansion used, rod.
    rod_rise : shape (...), [K]
        Rod, rise above 20 °C.
    compression_height : shape (...), [m]
        Compression height, chosen.
    body_expansion_piston : shape (...), [1/K]
        Expansion used, piston.
    piston_rise : shape (...), [K]
        Piston, rise above 20 °C.
    deck_height : shape (...), [m]
        Block deck height.
    body_expansion_block : shape (...), [1/K]
        Expansion used, block.
    block_rise : shape (...), [K]
        Block, rise above 20 °C.

    Returns
    -------
    thermal_rise : shape (...), [m]
        Crown rise by heat, as computed.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Linear expansion of each part.

    Examples
    --------
    >>> crank, rod = (0.081, 11.7e-6, 80), (0.136, 11.7e-6, 90)
    >>> piston, block = (0.0312, 19.4e-6, 160), (0.208, 21.5e-6, 70)
    >>> thermal_rise(*crank, *rod, *piston, *block) * 1e3
    -0.0350792
    """
    return (
        crank_radius(stroke_nominal) * body_expansion_crank * crank_rise
        + rod_length * body_expansion_rod * rod_rise
        + compression_height * body_expansion_piston * piston_rise
        - deck_height * body_expansion_block * block_rise
    )


def thermal_rise_counted(thermal_rise: Value) -> Value:
    r"""Rise by heat as it is counted: never as a gain.

    .. math:: \max(0, \Delta)

    Parameters
    ----------
    thermal_rise : shape (...), [m]
        Crown rise by heat, as computed.

    Returns
    -------
    thermal_rise_counted : shape (...), [m]
        Crown rise by heat, counted.

    Notes
    -----
    nan where the rise is.

    Source
    ------
    Common practice: a cold engine is turned fast as well.

    Examples
    --------
    >>> float(thermal_rise_counted(-0.035)), float(thermal_rise_counted(0.005))
    (0.0, 0.005)
    """
    return np.maximum(thermal_rise, 0.0)
