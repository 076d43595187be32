"""Volumes over the piston of every cylinder."""

import numpy as np

from validators.reference.value import Value, rounded_nine
from validators.reference.words import GasketFit, YesNo


def swept_volume(bore_mean: Value, stroke_nominal: Value) -> Value:
    r"""Volume swept by the piston of one cylinder in one stroke.

    .. math:: V_s = \frac{\pi}{4} B^2 S

    Parameters
    ----------
    bore_mean : shape (..., cylinder), [m]
        Mean.
    stroke_nominal : shape (...), [m]
        Stroke.

    Returns
    -------
    swept_volume : shape (..., cylinder), [m^3]
        Swept volume.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Geometry of the cylinder; the word from ISO 2710-1 (from memory).

    Examples
    --------
    >>> swept_volume(0.093, 0.081) * 1e6
    550.2256059
    """
    return np.pi / 4 * bore_mean**2 * stroke_nominal


def gasket_volume(gasket_bore: Value, gasket_chosen: Value) -> Value:
    r"""Volume inside the chosen gasket.

    .. math:: V_g = \frac{\pi}{4} G^2 t

    Parameters
    ----------
    gasket_bore : shape (...), [m]
        Gasket bore.
    gasket_chosen : shape (..., bank), [m]
        Gasket chosen, compressed.

    Returns
    -------
    gasket_volume : shape (..., bank), [m^3]
        Gasket volume.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Geometry of a round hole.

    Examples
    --------
    >>> gasket_volume(0.094, 0.001) * 1e6
    6.939778172
    """
    return np.pi / 4 * gasket_bore**2 * gasket_chosen


def deck_volume(bore_mean: Value, deck_clearance_mean: Value) -> Value:
    r"""Volume between crown plane and deck; negative where the crown protrudes.

    .. math:: V_d = \frac{\pi}{4} B^2 \delta

    Parameters
    ----------
    bore_mean : shape (..., cylinder), [m]
        Mean.
    deck_clearance_mean : shape (..., cylinder), [m]
        Deck clearance.

    Returns
    -------
    deck_volume : shape (..., cylinder), [m^3]
        Deck volume.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Geometry of the cylinder.

    Examples
    --------
    >>> deck_volume(0.093, 0.0003) * 1e6
    2.037872615
    """
    return np.pi / 4 * bore_mean**2 * deck_clearance_mean


def crevice_volume(
    crevice_counted: Value, bore_mean: Value, land_diameter: Value, land_height: Value
) -> Value:
    r"""Volume of the ring-shaped gap around the top land, down to the top ring.

    .. math:: V_{cr} = \frac{\pi}{4} (B^2 - D_l^2) h_l

    Parameters
    ----------
    crevice_counted : shape (...), [1]
        Count the crevice above the top ring.
    bore_mean : shape (..., cylinder), [m]
        Mean.
    land_diameter : shape (...), [m]
        Top land diameter.
    land_height : shape (...), [m]
        Top land height, to the top ring.

    Returns
    -------
    crevice_volume : shape (..., cylinder), [m^3]
        Crevice volume.

    Notes
    -----
    0 where it is not to be counted; nan where it is and an input is missing, or where it is not
    said whether to count it.

    Source
    ------
    Geometry of the ring; belongs to the true volume, but many shops leave it out.

    Examples
    --------
    >>> float(crevice_volume(1, 0.093, 0.0923, 0.006)) * 1e6
    0.6112439746
    >>> float(crevice_volume(0, 0.093, np.nan, np.nan))
    0.0
    """
    ring = np.pi / 4 * (bore_mean**2 - land_diameter**2) * land_height
    return np.where(
        np.equal(crevice_counted, YesNo.YES),
        ring,
        np.where(np.equal(crevice_counted, YesNo.NO), 0.0, np.nan),
    )


def other_volume(
    gasket_volume: Value, deck_volume: Value, crown_volume: Value, crevice_volume: Value
) -> Value:
    r"""Clearance volume without the chamber.

    .. math:: V_g + V_d + V_p + V_{cr}

    Parameters
    ----------
    gasket_volume : shape (..., bank), [m^3]
        Gasket volume.
    deck_volume : shape (..., cylinder), [m^3]
        Deck volume.
    crown_volume : shape (..., cylinder), [m^3]
        Crown volume (dish +, dome -).
    crevice_volume : shape (..., cylinder), [m^3]
        Crevice volume.

    Returns
    -------
    other_volume : shape (..., cylinder), [m^3]
        Clearance volume without chamber.

    Notes
    -----
    nan where an input is missing; a missing crown volume is not 0.

    Source
    ------
    Sum.

    Examples
    --------
    >>> other_volume(6.939778172, 2.037872615, 2.5, 0.6112439746)
    12.08889476
    """
    return gasket_volume + deck_volume + crown_volume + crevice_volume


def clearance_volume(chamber_volume: Value, other_volume: Value) -> Value:
    r"""Volume over the piston at top dead centre.

    .. math:: V_c = V_{ch} + V_g + V_d + V_p + V_{cr}

    Parameters
    ----------
    chamber_volume : shape (..., cylinder), [m^3]
        Chamber volume.
    other_volume : shape (..., cylinder), [m^3]
        Clearance volume without chamber.

    Returns
    -------
    clearance_volume : shape (..., cylinder), [m^3]
        Clearance volume.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Sum; the word from ISO 2710-1 (from memory).

    Examples
    --------
    >>> clearance_volume(48.0, 12.08889476)
    60.08889476
    """
    return chamber_volume + other_volume


def chamber_spread_guard(volume_guard: Value) -> Value:
    r"""Uncertainty U of the spread of the chambers: that of a difference of two volumes.

    .. math:: \sqrt{2} \, U

    Parameters
    ----------
    volume_guard : shape (...), [m^3]
        U, volume by burette.

    Returns
    -------
    chamber_spread_guard : shape (...), [m^3]
        U, spread of chamber volume.

    Notes
    -----
    The error of the burette's certificate is counted twice, though some of it cancels.

    Source
    ------
    JCGM 100, law of propagation of uncertainty (from memory).

    Examples
    --------
    >>> float(chamber_spread_guard(0.1e-6)) * 1e6
    0.1414214
    """
    return np.sqrt(2) * volume_guard


def chamber_spread(chamber_volume: Value) -> Value:
    r"""Difference between the biggest and the smallest chamber of the engine.

    .. math:: \max V_{ch} - \min V_{ch}

    Parameters
    ----------
    chamber_volume : shape (..., cylinder), [m^3]
        Chamber volume.

    Returns
    -------
    chamber_spread : shape (...), [m^3]
        Chamber volume, spread.

    Notes
    -----
    nan unless every chamber is measured.

    Source
    ------
    Definition.

    Examples
    --------
    >>> float(chamber_spread(np.array([48.0, 48.3, 47.8, 48.1])))
    0.5
    """
    return np.max(chamber_volume, axis=-1) - np.min(chamber_volume, axis=-1)


def gasket_bore_state(gasket_bore: Value, bore_greatest: Value, shown_length: Value) -> Value:
    r"""Whether the gasket bore clears the largest bore of the engine.

    .. math:: G \ge \max B

    Parameters
    ----------
    gasket_bore : shape (...), [m]
        Gasket bore.
    bore_greatest : shape (..., cylinder), [m]
        Largest.
    shown_length : shape (...), [m]
        SI size of the length unit that the workbook shows.

    Returns
    -------
    gasket_bore_state : shape (...), [1]
        Gasket bore against the bores.

    Notes
    -----
    Waiting, unless gasket bore and the largest size of every bore are there. Compared at nine
    decimals of the unit that the workbook shows.

    Source
    ------
    Common practice: a gasket that stands into the bore burns.

    Examples
    --------
    >>> bores, shown = np.array([93.01, 93.02]), np.array([1.0])
    >>> [int(gasket_bore_state(np.array([g]), bores, shown)) for g in (np.nan, 93.015, 94.0)]
    [0, 1, 2]
    """
    room = (gasket_bore - bore_greatest) / shown_length
    least_room = np.min(rounded_nine(room), axis=-1)
    return np.select(
        [np.isnan(least_room), least_room < 0],
        [GasketFit.WAITING, GasketFit.SMALLER_THAN_BORE],
        GasketFit.CLEARS_BORE,
    )
