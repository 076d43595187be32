"""The marks on pistons, rods and ring sets: there, used once, and in the right bore."""

import numpy as np

from validators.reference.value import Value
from validators.reference.words import CrownState, MarkState

__not_quantities__ = ("mark_state",)


def mark_state(mark: Value) -> Value:
    r"""Say of every mark, along the last axis, whether it is there and used once.

    .. math:: \#\{m_j = m_i\} = 1

    Parameters
    ----------
    mark : shape (..., cylinder), [1]

    Returns
    -------
    mark_state : shape (..., cylinder), [1]

    Notes
    -----
    Never nan.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> mark_state(np.array([1.0, 2.0, 2.0, np.nan])).tolist()
    [2, 1, 1, 0]
    """
    times_used = np.sum(np.equal(mark[..., :, np.newaxis], mark[..., np.newaxis, :]), axis=-1)
    return np.select(
        [np.isnan(mark), times_used > 1],
        [MarkState.NO_MARK, MarkState.SAME_MARK_TWICE],
        MarkState.ONLY_ONCE,
    )


def piston_mark_state(piston_mark: Value) -> Value:
    r"""Say of every piston mark whether it is there and used once.

    .. math:: \#\{m_j = m_i\} = 1

    Parameters
    ----------
    piston_mark : shape (..., cylinder), [1]

    Returns
    -------
    piston_mark_state : shape (..., cylinder), [1]

    Notes
    -----
    Never nan.

    Source
    ------
    Common practice, no source.
    """
    return mark_state(piston_mark)


def rod_mark_state(rod_mark: Value) -> Value:
    r"""Say of every rod mark whether it is there and used once.

    .. math:: \#\{m_j = m_i\} = 1

    Parameters
    ----------
    rod_mark : shape (..., cylinder), [1]

    Returns
    -------
    rod_mark_state : shape (..., cylinder), [1]

    Notes
    -----
    Never nan.

    Source
    ------
    Common practice, no source.
    """
    return mark_state(rod_mark)


def ring_mark_state(ring_mark: Value) -> Value:
    r"""Say of every ring set mark whether it is there and used once.

    .. math:: \#\{m_j = m_i\} = 1

    Parameters
    ----------
    ring_mark : shape (..., cylinder), [1]

    Returns
    -------
    ring_mark_state : shape (..., cylinder), [1]

    Notes
    -----
    Never nan.

    Source
    ------
    Common practice, no source.
    """
    return mark_state(ring_mark)


def crown_mark_state(crown_mark: Value, piston_mark: Value) -> Value:
    r"""Say whether the piston that sits in a bore is the one that was measured for it.

    .. math:: m_{crown} = m_{piston}

    Parameters
    ----------
    crown_mark : shape (..., cylinder), [1]
    piston_mark : shape (..., cylinder), [1]

    Returns
    -------
    crown_mark_state : shape (..., cylinder), [1]

    Notes
    -----
    Never nan.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> CrownState(int(crown_mark_state(4.0, 4.0))).text
    'as measured'
    """
    return np.select(
        [np.isnan(crown_mark) | np.isnan(piston_mark), np.equal(crown_mark, piston_mark)],
        [CrownState.NOT_READ, CrownState.AS_MEASURED],
        CrownState.ANOTHER_PISTON,
    )
