"""Piston ring end gaps: wanted, least, in service, and what to do about them."""

import math

import numpy as np

from validators.reference.value import Value, only_where
from validators.reference.verdict import verdict
from validators.reference.words import RingAction, Verdict


def ring_gap_used(ring_gap_reading: Value, gap_highest: Value) -> Value:
    r"""Gap as measured, if it can be one: positive, and not larger than any ring gap.

    .. math:: 0 < g \le g_{highest}

    Parameters
    ----------
    ring_gap_reading : shape (..., cylinder, ring), [m]
    gap_highest : shape (...), [m]

    Returns
    -------
    ring_gap_used : shape (..., cylinder, ring), [m]

    Notes
    -----
    nan otherwise.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(ring_gap_used(0.0, 0.003))
    nan
    """
    return only_where((ring_gap_reading > 0) & (ring_gap_reading <= gap_highest), ring_gap_reading)


def ring_gap_wanted(bore_least: Value, ring_gap_factor: Value) -> Value:
    r"""End gap wanted: the ring maker's share of the bore.

    .. math:: g_w = B f

    Parameters
    ----------
    bore_least : shape (..., cylinder), [m]
    ring_gap_factor : shape (..., ring), [1]

    Returns
    -------
    ring_gap_wanted : shape (..., cylinder, ring), [m]

    Notes
    -----
    nan where an input is nan.

    Source
    ------
    The ring maker's figure.

    Examples
    --------
    >>> float(ring_gap_wanted(0.086010, 0.0045)) * 1e3
    0.387045
    """
    return bore_least * ring_gap_factor


def ring_gap_butting(
    bore_least: Value,
    body_expansion_ring: Value,
    ring_rise: Value,
    body_expansion_bore: Value,
    ring_bore_rise: Value,
) -> Value:
    r"""Smallest cold gap that does not butt when ring and bore are hot.

    .. math::
        g_b = \max\left(0,
        \frac{\pi B (\alpha_r \Delta T_r - \alpha_b \Delta T_b)}{1 + \alpha_r \Delta T_r}\right)

    Parameters
    ----------
    bore_least : shape (..., cylinder), [m]
    body_expansion_ring : shape (...), [1/K]
    ring_rise : shape (...), [K]
    body_expansion_bore : shape (...), [1/K]
    ring_bore_rise : shape (...), [K]

    Returns
    -------
    ring_gap_butting : shape (..., cylinder), [m]

    Notes
    -----
    One mean temperature each for ring and bore: an estimate. nan where an
    input is nan.

    Source
    ------
    Hot ring length equal to the hot circumference; common practice, no source.

    Examples
    --------
    >>> float(ring_gap_butting(0.1, 11.5e-6, 200.0, 11e-6, 100.0)) * 1e3
    0.3761260286
    """
    ring_growth = body_expansion_ring * ring_rise
    bore_growth = body_expansion_bore * ring_bore_rise
    gap = math.pi * bore_least * (ring_growth - bore_growth) / (1 + ring_growth)
    return np.maximum(gap, 0.0)


def ring_gap_least(ring_gap_wanted: Value, ring_gap_butting: Value) -> Value:
    r"""Least gap allowed: the wanted one, or the one that just does not butt if that is larger.

    .. math:: \max(g_w, g_b)

    Parameters
    ----------
    ring_gap_wanted : shape (..., cylinder, ring), [m]
    ring_gap_butting : shape (..., cylinder), [m]

    Returns
    -------
    ring_gap_least : shape (..., cylinder, ring), [m]

    Notes
    -----
    nan where an input is nan.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(ring_gap_least(0.38e-3, 0.40e-3)) * 1e3
    0.4
    """
    return np.maximum(ring_gap_wanted, ring_gap_butting)


def ring_gap_most(ring_gap_wanted: Value, ring_gap_allowance: Value) -> Value:
    r"""Largest gap allowed: the wanted one and the allowance.

    .. math:: g_w + a

    Parameters
    ----------
    ring_gap_wanted : shape (..., cylinder, ring), [m]
    ring_gap_allowance : shape (...), [m]

    Returns
    -------
    ring_gap_most : shape (..., cylinder, ring), [m]

    Notes
    -----
    nan where an input is nan.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(ring_gap_most(0.38e-3, 0.10e-3)) * 1e3
    0.48
    """
    return ring_gap_wanted + ring_gap_allowance


def ring_gap_verdict(
    ring_gap_used: Value,
    ring_gap_least: Value,
    ring_gap_most: Value,
    plain_guard_ring_gap: Value,
    shown_length: Value,
) -> Value:
    r"""Judge a measured gap against the least and the largest allowed.

    .. math:: g_{least} + U \le g \le g_{most} - U \text{ within}

    Parameters
    ----------
    ring_gap_used : shape (..., cylinder, ring), [m]
    ring_gap_least : shape (..., cylinder, ring), [m]
    ring_gap_most : shape (..., cylinder, ring), [m]
    plain_guard_ring_gap : shape (...), [m]
    shown_length : shape (...), [m]

    Returns
    -------
    ring_gap_verdict : shape (..., cylinder, ring), [1]

    Notes
    -----
    Never nan; not measured if either limit is missing.

    Source
    ------
    ISO 14253-1 (from memory).

    Examples
    --------
    >>> Verdict(int(ring_gap_verdict(0.34e-3, 0.387e-3, 0.487e-3, 1e-5, 1e-3))).text
    'under'
    """
    limit_missing = np.isnan(ring_gap_least) | np.isnan(ring_gap_most)
    gap = only_where(~limit_missing, ring_gap_used)
    return verdict(gap, ring_gap_least, ring_gap_most, plain_guard_ring_gap, shown_length)


def ring_gap_to_file(ring_gap_wanted: Value, ring_gap_used: Value) -> Value:
    r"""Metal still to file from a gap; negative where the gap is already larger than wanted.

    .. math:: g_w - g

    Parameters
    ----------
    ring_gap_wanted : shape (..., cylinder, ring), [m]
    ring_gap_used : shape (..., cylinder, ring), [m]

    Returns
    -------
    ring_gap_to_file : shape (..., cylinder, ring), [m]

    Notes
    -----
    nan if there is no believable gap.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(ring_gap_to_file(0.387e-3, 0.340e-3)) * 1e3
    0.047
    """
    return ring_gap_wanted - ring_gap_used


def ring_gap_hot(
    ring_gap_used: Value,
    bore_least: Value,
    body_expansion_ring: Value,
    ring_rise: Value,
    body_expansion_bore: Value,
    ring_bore_rise: Value,
) -> Value:
    r"""Gap in service, ring and bore hot.

    .. math:: g_h = \pi B (1 + \alpha_b \Delta T_b) - (\pi B - g)(1 + \alpha_r \Delta T_r)

    Parameters
    ----------
    ring_gap_used : shape (..., cylinder, ring), [m]
    bore_least : shape (..., cylinder), [m]
    body_expansion_ring : shape (...), [1/K]
    ring_rise : shape (...), [K]
    body_expansion_bore : shape (...), [1/K]
    ring_bore_rise : shape (...), [K]

    Returns
    -------
    ring_gap_hot : shape (..., cylinder, ring), [m]

    Notes
    -----
    nan if there is no believable gap. Negative means the ends would butt.

    Source
    ------
    Hot circumference minus hot ring length; common practice, no source.

    Examples
    --------
    >>> float(ring_gap_hot(0.387045e-3, 0.08601, 11.5e-6, 180.0, 11e-6, 90.0)) * 1e3
    0.09602112828
    """
    circumference = math.pi * bore_least
    hot_bore = circumference * (1 + body_expansion_bore * ring_bore_rise)
    hot_ring = (circumference - ring_gap_used) * (1 + body_expansion_ring * ring_rise)
    return hot_bore - hot_ring


def ring_gap_action(ring_gap_verdict: Value) -> Value:
    r"""What to do about a gap.

    .. math:: \text{under: file} \qquad \text{over: another ring}

    Parameters
    ----------
    ring_gap_verdict : shape (..., cylinder, ring), [1]

    Returns
    -------
    ring_gap_action : shape (..., cylinder, ring), [1]

    Notes
    -----
    Never nan.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> RingAction(int(ring_gap_action(Verdict.OVER))).text
    'cannot be filed back: other ring'
    """
    return np.select(
        [
            np.equal(ring_gap_verdict, Verdict.CHECK_LIMITS),
            np.equal(ring_gap_verdict, Verdict.UNDER),
            np.equal(ring_gap_verdict, Verdict.OVER),
            np.equal(ring_gap_verdict, Verdict.WITHIN),
            np.equal(ring_gap_verdict, Verdict.TOO_CLOSE),
        ],
        [
            RingAction.CHECK_LIMITS,
            RingAction.FILE,
            RingAction.OTHER_RING,
            RingAction.LEAVE,
            RingAction.MEASURE_AGAIN,
        ],
        RingAction.NOT_MEASURED,
    )


def ring_gap_taper_effect(bore_taper_of_thrust: Value) -> Value:
    r"""Change of the gap over the taper of the bore.

    .. math:: \Delta g = \pi \, t_X

    Parameters
    ----------
    bore_taper_of_thrust : shape (..., cylinder), [m]

    Returns
    -------
    ring_gap_taper_effect : shape (..., cylinder), [m]

    Notes
    -----
    nan where an input is nan.

    Source
    ------
    Circumference of a circle.

    Examples
    --------
    >>> float(ring_gap_taper_effect(10e-6)) * 1e3
    0.03141592654
    """
    return math.pi * bore_taper_of_thrust
