"""The rod bolts as tightened: stretch, preload, set, and what to do about them."""

import numpy as np

from validators.reference.value import Value, only_where
from validators.reference.words import BoltAction, Verdict


def bolt_stretch(bolt_tight_length: Value, bolt_free_length: Value) -> Value:
    r"""Stretch of a rod bolt by its tightening.

    .. math:: \Delta L = L_{tight} - L_{free}

    Parameters
    ----------
    bolt_tight_length : shape (..., rodbolt), [m]
        Length tightened.
    bolt_free_length : shape (..., rodbolt), [m]
        Length before.

    Returns
    -------
    bolt_stretch : shape (..., rodbolt), [m]
        Stretch.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> bolt_stretch(58.552, 58.412)
    0.140
    """
    return bolt_tight_length - bolt_free_length


def bolt_preload(bolt_stretch: Value, bolt_compliance: Value) -> Value:
    r"""Preload of a rod bolt, from its stretch.

    .. math:: F = \frac{\Delta L}{\delta}

    Parameters
    ----------
    bolt_stretch : shape (..., rodbolt), [m]
        Stretch.
    bolt_compliance : shape (...), [m/N]
        Compliance of the bolt.

    Returns
    -------
    bolt_preload : shape (..., rodbolt), [N]
        Preload.

    Notes
    -----
    nan where an input is missing, or the compliance is nothing. High by some per cent: head and
    engaged thread stretch too, and no compliance is counted for them.

    Source
    ------
    Hooke's law; holds below yield.

    Examples
    --------
    >>> float(bolt_preload(0.140e-3, 6.009757001e-9))
    23295.45104
    """
    return bolt_stretch / only_where(bolt_compliance > 0, bolt_compliance)


def bolt_proof_share(bolt_preload: Value, bolt_proof_load: Value) -> Value:
    r"""Preload as a part of the proof load.

    .. math:: \frac{F}{F_p}

    Parameters
    ----------
    bolt_preload : shape (..., rodbolt), [N]
        Preload.
    bolt_proof_load : shape (...), [N]
        Proof load.

    Returns
    -------
    bolt_proof_share : shape (..., rodbolt), [1]
        Of proof load.

    Notes
    -----
    nan where an input is missing. A plain fraction; the workbook shows per cent.

    Source
    ------
    Definition.

    Examples
    --------
    >>> float(bolt_proof_share(23295.45104, 32508.6935)) * 100
    71.659142
    """
    return bolt_preload / only_where(bolt_proof_load > 0, bolt_proof_load)


def bolt_yield_share(
    bolt_preload: Value, bolt_least_area: Value, bolt_yield_stress: Value
) -> Value:
    r"""Preload as a part of what makes the smallest section yield.

    .. math:: \frac{F}{A_{min} R_{p0.2}}

    Parameters
    ----------
    bolt_preload : shape (..., rodbolt), [N]
        Preload.
    bolt_least_area : shape (...), [m^2]
        Smallest area.
    bolt_yield_stress : shape (...), [Pa]
        Yield stress used.

    Returns
    -------
    bolt_yield_share : shape (..., rodbolt), [1]
        Of yield, smallest section.

    Notes
    -----
    nan where an input is missing. A plain fraction; the workbook shows per cent. Tension alone: the
    twist of tightening is not counted.

    Source
    ------
    Definition.

    Examples
    --------
    >>> float(bolt_yield_share(23295.45104, 37.39280656e-6, 940e6)) * 940
    622.99284
    """
    yield_load = bolt_least_area * bolt_yield_stress
    return bolt_preload / only_where(yield_load > 0, yield_load)


def bolt_set(bolt_released_length: Value, bolt_free_length: Value) -> Value:
    r"""Length that a rod bolt keeps after it is released.

    .. math:: L_{released} - L_{free}

    Parameters
    ----------
    bolt_released_length : shape (..., rodbolt), [m]
        Length after release.
    bolt_free_length : shape (..., rodbolt), [m]
        Length before.

    Returns
    -------
    bolt_set : shape (..., rodbolt), [m]
        Permanent set.

    Notes
    -----
    nan where an input is missing.

    Source
    ------
    Subtraction.

    Examples
    --------
    >>> bolt_set(58.421, 58.412)
    0.009
    """
    return bolt_released_length - bolt_free_length


def bolt_action(bolt_stretch_verdict: Value) -> Value:
    r"""What to do about a rod bolt.

    .. math:: \text{under: tighten again} \qquad \text{over: replace}

    Parameters
    ----------
    bolt_stretch_verdict : shape (..., rodbolt), [1]
        Verdict on the stretch.

    Returns
    -------
    bolt_action : shape (..., rodbolt), [1]
        What to do.

    Notes
    -----
    Never nan. Without a limit there is nothing to act on: not measured.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> BoltAction(int(bolt_action(Verdict.UNDER))).text
    'oil and tighten again'
    """
    return np.select(
        [
            np.equal(bolt_stretch_verdict, Verdict.CHECK_LIMITS),
            np.equal(bolt_stretch_verdict, Verdict.UNDER),
            np.equal(bolt_stretch_verdict, Verdict.OVER),
            np.equal(bolt_stretch_verdict, Verdict.WITHIN),
            np.equal(bolt_stretch_verdict, Verdict.TOO_CLOSE),
        ],
        [
            BoltAction.CHECK_LIMITS,
            BoltAction.TIGHTEN_AGAIN,
            BoltAction.REPLACE,
            BoltAction.LEAVE,
            BoltAction.MEASURE_AGAIN,
        ],
        BoltAction.NOT_MEASURED,
    )
