"""What to change for the wanted compression ratio, and what the ratio does at inlet closing."""

import numpy as np

from validators.reference import slider_crank
from validators.reference.value import Value, only_where


def wanted_clearance_volume(swept_volume: Value, ratio_target: Value) -> Value:
    r"""Clearance volume that gives the wanted compression ratio.

    .. math:: \frac{V_s}{\varepsilon - 1}

    Parameters
    ----------
    swept_volume : shape (..., cylinder), [m^3]
        Swept volume.
    ratio_target : shape (...), [1]
        Compression ratio wanted.

    Returns
    -------
    wanted_clearance_volume : shape (..., cylinder), [m^3]
        Clearance volume for the wanted ratio.

    Notes
    -----
    nan where an input is missing, or the ratio is not above 1.

    Source
    ------
    Definition of the compression ratio, solved for the clearance volume.

    Examples
    --------
    >>> float(wanted_clearance_volume(550.2256059, 10.0))
    61.13617843
    """
    return swept_volume / (only_where(ratio_target > 1, ratio_target) - 1)


def gasket_for_ratio(
    wanted_clearance_volume: Value,
    chamber_volume: Value,
    deck_volume: Value,
    crown_volume: Value,
    crevice_volume: Value,
    gasket_bore: Value,
) -> Value:
    r"""Gasket thickness that gives the wanted compression ratio.

    .. math:: t = \frac{V_s / (\varepsilon - 1) - (V_{ch} + V_d + V_p + V_{cr})}
        {\frac{\pi}{4} G^2}

    Parameters
    ----------
    wanted_clearance_volume : shape (..., cylinder), [m^3]
        Clearance volume for the wanted ratio.
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

    Returns
    -------
    gasket_for_ratio : shape (..., cylinder), [m]
        Gasket for the wanted ratio.

    Notes
    -----
    nan where an input is missing. Negative where no gasket is thin enough.

    Source
    ------
    Definition of the compression ratio, solved for the gasket.

    Examples
    --------
    >>> volumes = [volume * 1e-6 for volume in (61.13617843, 48.0, 2.037872615, 2.5, 0.6112439746)]
    >>> float(gasket_for_ratio(*volumes, 0.094)) * 1e3
    1.150910252
    """
    area = np.pi / 4 * gasket_bore**2
    rest = chamber_volume + deck_volume + crown_volume + crevice_volume
    return (wanted_clearance_volume - rest) / only_where(gasket_bore > 0, area)


def deck_for_ratio(
    wanted_clearance_volume: Value,
    chamber_volume: Value,
    gasket_volume: Value,
    crown_volume: Value,
    crevice_volume: Value,
    bore_mean: Value,
) -> Value:
    r"""Deck clearance that gives the wanted compression ratio.

    .. math:: \delta = \frac{V_s / (\varepsilon - 1) - (V_{ch} + V_g + V_p + V_{cr})}
        {\frac{\pi}{4} B^2}

    Parameters
    ----------
    wanted_clearance_volume : shape (..., cylinder), [m^3]
        Clearance volume for the wanted ratio.
    chamber_volume : shape (..., cylinder), [m^3]
        Chamber volume.
    gasket_volume : shape (..., bank), [m^3]
        Gasket volume.
    crown_volume : shape (..., cylinder), [m^3]
        Crown volume (dish +, dome -).
    crevice_volume : shape (..., cylinder), [m^3]
        Crevice volume.
    bore_mean : shape (..., cylinder), [m]
        Mean.

    Returns
    -------
    deck_for_ratio : shape (..., cylinder), [m]
        Deck clearance for the wanted ratio.

    Notes
    -----
    nan where an input is missing. Negative where the crown would have to protrude.

    Source
    ------
    Definition of the compression ratio, solved for the deck clearance.

    Examples
    --------
    >>> volumes = [volume * 1e-6 for volume in (61.13617843, 48.0, 6.939778172, 2.5, 0.6112439746)]
    >>> float(deck_for_ratio(*volumes, 0.093)) * 1e3
    0.45417308
    """
    area = np.pi / 4 * bore_mean**2
    rest = chamber_volume + gasket_volume + crown_volume + crevice_volume
    return (wanted_clearance_volume - rest) / only_where(area > 0, area)


def deck_cut_for_ratio(deck_clearance_mean: Value, deck_for_ratio: Value) -> Value:
    r"""Metal to cut from the deck for the wanted compression ratio; negative is impossible.

    .. math:: \delta_{now} - \delta_{wanted}

    Parameters
    ----------
    deck_clearance_mean : shape (..., cylinder), [m]
        Deck clearance.
    deck_for_ratio : shape (..., cylinder), [m]
        Deck clearance for the wanted ratio.

    Returns
    -------
    deck_cut_for_ratio : shape (..., cylinder), [m]
        Deck cut for the wanted ratio.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> deck_cut_for_ratio(0.42, 0.05)
    0.37
    """
    return deck_clearance_mean - deck_for_ratio


def chamber_change(wanted_clearance_volume: Value, clearance_volume: Value) -> Value:
    r"""Volume to add to the chamber for the wanted compression ratio; negative to take away.

    .. math:: \frac{V_s}{\varepsilon - 1} - V_c

    Parameters
    ----------
    wanted_clearance_volume : shape (..., cylinder), [m^3]
        Clearance volume for the wanted ratio.
    clearance_volume : shape (..., cylinder), [m^3]
        Clearance volume.

    Returns
    -------
    chamber_change : shape (..., cylinder), [m^3]
        Chamber, add for the wanted ratio.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Definition of the compression ratio, solved for the chamber.

    Examples
    --------
    >>> chamber_change(61.13617843, 60.08889476)
    1.04728367
    """
    return wanted_clearance_volume - clearance_volume


def ratio_per_volume(swept_volume: Value, clearance_volume: Value) -> Value:
    r"""Change of the compression ratio per volume added to the chamber.

    .. math:: \frac{d\varepsilon}{dV_c} = -\frac{V_s}{V_c^2}

    Parameters
    ----------
    swept_volume : shape (..., cylinder), [m^3]
        Swept volume.
    clearance_volume : shape (..., cylinder), [m^3]
        Clearance volume.

    Returns
    -------
    ratio_per_volume : shape (..., cylinder), [1/m^3]
        Ratio per cm³ added.

    Notes
    -----
    nan where an input is missing, or the clearance volume is not above 0.

    Source
    ------
    Derivative of the compression ratio.

    Examples
    --------
    >>> float(ratio_per_volume(550.2256059, 60.08889476))
    -0.1523885601
    """
    held = only_where(clearance_volume > 0, clearance_volume)
    return -swept_volume / held**2


def ratio_per_gasket(ratio_per_volume: Value, gasket_bore: Value) -> Value:
    r"""Change of the compression ratio per thickness added to the gasket.

    .. math:: \frac{d\varepsilon}{dt} = \frac{d\varepsilon}{dV_c} \frac{\pi}{4} G^2

    Parameters
    ----------
    ratio_per_volume : shape (..., cylinder), [1/m^3]
        Ratio per cm³ added.
    gasket_bore : shape (...), [m]
        Gasket bore.

    Returns
    -------
    ratio_per_gasket : shape (..., cylinder), [1/m]
        Ratio per length of gasket added.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Chain rule.

    Examples
    --------
    >>> ratio_per_gasket(-0.1523885601e6, 0.094) / 1e3
    -1.057542803
    """
    return ratio_per_volume * np.pi / 4 * gasket_bore**2


def closing_travel(
    stroke_nominal: Value, rod_length: Value, pin_offset: Value, inlet_closing: Value
) -> Value:
    r"""Piston travel from true top dead centre when the inlet closes.

    .. math:: s = \sqrt{(L + R)^2 - e^2} - R \cos\theta - W, \qquad \theta = \pi + \theta_{ivc}

    Parameters
    ----------
    stroke_nominal : shape (...), [m]
        Stroke.
    rod_length : shape (...), [m]
        Rod length, chosen.
    pin_offset : shape (...), [m]
        Pin or cylinder offset.
    inlet_closing : shape (...), [rad]
        Inlet closes after bottom dead centre.

    Returns
    -------
    closing_travel : shape (...), [m]
        Piston travel at inlet closing.

    Notes
    -----
    nan where an input is missing. The closing angle counts from half a turn of the crank.

    Source
    ------
    Plane geometry of the slider-crank.

    Examples
    --------
    >>> float(closing_travel(0.081, 0.136, 0.0, np.radians(50))) * 1e3
    70.11891937
    """
    radius = slider_crank.crank_radius(stroke_nominal)
    return slider_crank.travel(radius, rod_length, pin_offset, np.pi + inlet_closing)


def effective_ratio(clearance_volume: Value, bore_mean: Value, closing_travel: Value) -> Value:
    r"""Compression ratio from inlet closing to top dead centre.

    .. math:: \frac{V_c + \frac{\pi}{4} B^2 s}{V_c}

    Parameters
    ----------
    clearance_volume : shape (..., cylinder), [m^3]
        Clearance volume.
    bore_mean : shape (..., cylinder), [m]
        Mean.
    closing_travel : shape (...), [m]
        Piston travel at inlet closing.

    Returns
    -------
    effective_ratio : shape (..., cylinder), [1]
        Effective ratio.

    Notes
    -----
    nan where an input is missing, or the clearance volume is not above 0. It has meaning only with
    the lift stated at which the closing angle was taken.

    Source
    ------
    Common practice; called dynamic ratio as well.

    Examples
    --------
    >>> float(effective_ratio(60.08889476e-6, 0.093, 0.07011891937))
    8.926779488
    """
    held = only_where(clearance_volume > 0, clearance_volume)
    return (held + np.pi / 4 * bore_mean**2 * closing_travel) / held


def compression_pressure(
    intake_pressure: Value, effective_ratio: Value, compression_exponent: Value
) -> Value:
    r"""Ideal pressure at top dead centre, absolute; no prediction of a cranking gauge.

    .. math:: p_1 \varepsilon_{eff}^n

    Parameters
    ----------
    intake_pressure : shape (...), [Pa]
        Pressure at inlet closing.
    effective_ratio : shape (..., cylinder), [1]
        Effective ratio.
    compression_exponent : shape (...), [1]
        Compression exponent.

    Returns
    -------
    compression_pressure : shape (..., cylinder), [Pa]
        Ideal compression pressure, absolute.

    Notes
    -----
    nan where an input is missing, or the ratio is not above 0.

    Source
    ------
    Polytropic compression; thermodynamics (from memory).

    Examples
    --------
    >>> float(compression_pressure(1.01325, 8.926779488, 1.30))
    17.442947
    """
    ratio = only_where(effective_ratio > 0, effective_ratio)
    # nan to the power of 0 is 1: a missing ratio must stay missing.
    return only_where(~np.isnan(ratio), intake_pressure * ratio**compression_exponent)
