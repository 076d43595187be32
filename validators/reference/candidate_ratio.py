"""Nominal compression ratio of the combinations."""

import numpy as np

from validators.reference.value import Value, only_where


def candidate_clearance_volume(
    nominal_size_bore: Value,
    candidate_chamber_volume: Value,
    candidate_crown_volume: Value,
    gasket_bore: Value,
    candidate_gasket_thickness: Value,
    candidate_deck_clearance: Value,
) -> Value:
    r"""Nominal clearance volume of a combination, without the crevice above the top ring.

    .. math:: V_c = V_{ch} + V_p + \frac{\pi}{4} G^2 t + \frac{\pi}{4} B^2 \delta

    Parameters
    ----------
    nominal_size_bore : shape (...), [m]
        Nominal size, bore.
    candidate_chamber_volume : shape (..., candidate), [m^3]
        Chamber volume.
    candidate_crown_volume : shape (..., candidate), [m^3]
        Crown volume (dish +, dome -).
    gasket_bore : shape (...), [m]
        Gasket bore.
    candidate_gasket_thickness : shape (..., candidate), [m]
        Gasket, compressed.
    candidate_deck_clearance : shape (..., candidate), [m]
        Deck clearance, nominal.

    Returns
    -------
    candidate_clearance_volume : shape (..., candidate), [m^3]
        Clearance volume, nominal.

    Notes
    -----
    nan where a volume or size is missing, or the combination waits or has a wrong entry.

    Source
    ------
    Sum; the word from ISO 2710-1 (from memory).

    Examples
    --------
    >>> candidate_clearance_volume(0.093, 48e-6, 2.5e-6, 0.094, 0.001, 0.0003) * 1e6
    59.477650787
    """
    return (
        candidate_chamber_volume
        + candidate_crown_volume
        + np.pi / 4 * gasket_bore**2 * candidate_gasket_thickness
        + np.pi / 4 * nominal_size_bore**2 * candidate_deck_clearance
    )


def candidate_compression_ratio(
    swept_volume_nominal: Value, candidate_clearance_volume: Value
) -> Value:
    r"""Nominal compression ratio of a combination, without the crevice above the top ring.

    .. math:: \varepsilon = \frac{V_s + V_c}{V_c}

    Parameters
    ----------
    swept_volume_nominal : shape (...), [m^3]
        Swept volume, nominal.
    candidate_clearance_volume : shape (..., candidate), [m^3]
        Clearance volume, nominal.

    Returns
    -------
    candidate_compression_ratio : shape (..., candidate), [1]
        Compression ratio, nominal.

    Notes
    -----
    nan where an input is missing, or the clearance volume is not above 0.

    Source
    ------
    Definition; the word from ISO 2710-1 (from memory).

    Examples
    --------
    >>> float(candidate_compression_ratio(550.2256059, 59.477650787))
    10.250963995
    """
    held = only_where(candidate_clearance_volume > 0, candidate_clearance_volume)
    return (swept_volume_nominal + held) / held
