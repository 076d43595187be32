"""Compression ratio of every cylinder, its uncertainty and its spread."""

import numpy as np

from validators.reference.value import Value, only_where, rounded_nine
from validators.reference.words import RatioState


def compression_ratio(swept_volume: Value, clearance_volume: Value) -> Value:
    r"""Compression ratio: the volume at bottom dead centre over that at top dead centre.

    .. math:: \varepsilon = \frac{V_s + V_c}{V_c}

    Parameters
    ----------
    swept_volume : shape (..., cylinder), [m^3]
        Swept volume.
    clearance_volume : shape (..., cylinder), [m^3]
        Clearance volume.

    Returns
    -------
    compression_ratio : shape (..., cylinder), [1]
        Compression ratio.

    Notes
    -----
    nan where an input is missing, or the clearance volume is not above 0.

    Source
    ------
    Definition; the word from ISO 2710-1 (from memory).

    Examples
    --------
    >>> float(compression_ratio(550.2256059, 60.08889476))
    10.15686015
    """
    held = only_where(clearance_volume > 0, clearance_volume)
    return (swept_volume + held) / held


def ratio_guard(
    swept_volume: Value,
    clearance_volume: Value,
    volume_guard: Value,
    bore_mean: Value,
    plain_guard_deck: Value,
) -> Value:
    r"""Uncertainty U of a compression ratio, expanded.

    .. math:: U = \frac{V_s}{V_c^2}
        \sqrt{2 U_V^2 + \left(\frac{\pi}{4} B^2 U_\delta\right)^2}

    Parameters
    ----------
    swept_volume : shape (..., cylinder), [m^3]
        Swept volume.
    clearance_volume : shape (..., cylinder), [m^3]
        Clearance volume.
    volume_guard : shape (...), [m^3]
        U, volume by burette.
    bore_mean : shape (..., cylinder), [m]
        Mean.
    plain_guard_deck : shape (...), [m]
        U, one reading as it stands, piston height at deck.

    Returns
    -------
    ratio_guard : shape (..., cylinder), [1]
        U, compression ratio.

    Notes
    -----
    nan where an input is missing, or the clearance volume is not above 0. Chamber and crown are
    both measured by burette; swept and gasket volume are taken as exact.

    Source
    ------
    JCGM 100, law of propagation of uncertainty (from memory).

    Examples
    --------
    >>> volumes = 550.2256059e-6, 60.08889476e-6
    >>> float(ratio_guard(*volumes, 0.1e-6, 0.093, 10e-6))
    0.023908187
    """
    held = only_where(clearance_volume > 0, clearance_volume)
    by_height = np.pi / 4 * bore_mean**2 * plain_guard_deck
    return swept_volume / held**2 * np.sqrt(2 * volume_guard**2 + by_height**2)


def ratio_spread(compression_ratio: Value) -> Value:
    r"""Difference between the highest and the lowest compression ratio of the engine.

    .. math:: \max \varepsilon - \min \varepsilon

    Parameters
    ----------
    compression_ratio : shape (..., cylinder), [1]
        Compression ratio.

    Returns
    -------
    ratio_spread : shape (...), [1]
        Ratio, spread over the cylinders.

    Notes
    -----
    nan unless the ratio of every cylinder is there.

    Source
    ------
    Definition.

    Examples
    --------
    >>> float(ratio_spread(np.array([10.38469905, 10.32620501, 10.42759187, 10.35787253])))
    0.10138686
    """
    return np.max(compression_ratio, axis=-1) - np.min(compression_ratio, axis=-1)


def ratio_spread_guard(ratio_guard: Value) -> Value:
    r"""Uncertainty U of the spread: that of a difference of two ratios, the worst pair.

    .. math:: \sqrt{2} \max U

    Parameters
    ----------
    ratio_guard : shape (..., cylinder), [1]
        U, compression ratio.

    Returns
    -------
    ratio_spread_guard : shape (...), [1]
        U, spread of ratio.

    Notes
    -----
    nan unless the uncertainty of every cylinder is there.

    Source
    ------
    JCGM 100, law of propagation of uncertainty (from memory).

    Examples
    --------
    >>> float(ratio_spread_guard(np.array([0.02, 0.03])))
    0.04242640687
    """
    return np.sqrt(2) * np.max(ratio_guard, axis=-1)


def ratio_spread_percent(ratio_spread: Value, compression_ratio: Value) -> Value:
    r"""Spread of the compression ratio as a part of its mean.

    .. math:: \frac{\max \varepsilon - \min \varepsilon}{\bar\varepsilon}

    Parameters
    ----------
    ratio_spread : shape (...), [1]
        Ratio, spread over the cylinders.
    compression_ratio : shape (..., cylinder), [1]
        Compression ratio.

    Returns
    -------
    ratio_spread_percent : shape (...), [1]
        Spread in per cent of the mean.

    Notes
    -----
    nan unless the ratio of every cylinder is there. A plain fraction; the workbook shows per cent.

    Source
    ------
    Definition.

    Examples
    --------
    >>> float(ratio_spread_percent(np.array([0.2]), np.array([9.9, 10.0, 10.1]))) * 100
    2.0
    """
    return ratio_spread[..., 0] / np.mean(compression_ratio, axis=-1)


def ratio_state(compression_ratio: Value, ratio_lowest: Value, ratio_highest: Value) -> Value:
    r"""Whether a compression ratio is usual.

    .. math:: \varepsilon_{lowest} \le \varepsilon \le \varepsilon_{highest}

    Parameters
    ----------
    compression_ratio : shape (..., cylinder), [1]
        Compression ratio.
    ratio_lowest : shape (...), [1]
        Compression ratio, lowest usual.
    ratio_highest : shape (...), [1]
        Compression ratio, highest usual.

    Returns
    -------
    ratio_state : shape (..., cylinder), [1]
        Ratio.

    Notes
    -----
    Waiting, where there is no ratio. Compared at nine decimals.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> [int(ratio_state(ratio, 5.0, 20.0)) for ratio in (np.nan, 4.9, 5.0, 20.1)]
    [0, 1, 2, 1]
    """
    below = rounded_nine(compression_ratio - ratio_lowest) < 0
    above = rounded_nine(compression_ratio - ratio_highest) > 0
    return np.select(
        [np.isnan(compression_ratio), below | above],
        [RatioState.WAITING, RatioState.SUSPECT],
        RatioState.USUAL,
    )
