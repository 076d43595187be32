"""Which ring set sits in which bore, and whether rings and piston went in the right way."""

import numpy as np

from validators.reference.value import Value, only_where
from validators.reference.words import AsDrawn, FrontMark, HoldState, RingSetState, RingSideUp

__not_quantities__ = ("same_marks",)


def same_marks(fitted: Value, filed: Value) -> Value:
    """Compare every mark along the last axis of one list with every mark of another.

    Parameters
    ----------
    fitted, filed : shape (..., cylinder), [1]
        Codes of marks; nan equals nothing.

    Returns
    -------
    same_marks : shape (..., cylinder, cylinder), truth values

    Examples
    --------
    >>> same_marks(np.array([2.0, np.nan]), np.array([1.0, 2.0])).tolist()
    [[False, True], [False, False]]
    """
    return np.equal(fitted[..., :, np.newaxis], filed[..., np.newaxis, :])


def ring_set_state(ring_mark_fitted: Value, ring_mark: Value) -> Value:
    r"""Say for which bore the ring set was filed that was fitted in a bore.

    .. math:: m_{fitted,i} = m_{filed,i}

    Parameters
    ----------
    ring_mark_fitted : shape (..., cylinder), [1]
    ring_mark : shape (..., cylinder), [1]
        Mark of the set whose gaps were measured in this bore.

    Returns
    -------
    ring_set_state : shape (..., cylinder), [1]

    Notes
    -----
    Never nan.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> ring_set_state(np.array([1.0, 3.0, 9.0, np.nan]), np.array([1.0, 2.0, 3.0, 4.0])).tolist()
    [3, 2, 1, 0]
    """
    of_some_bore = np.any(same_marks(ring_mark_fitted, ring_mark), axis=-1)
    return np.select(
        [np.isnan(ring_mark_fitted), np.equal(ring_mark_fitted, ring_mark), of_some_bore],
        [RingSetState.NOT_NOTED, RingSetState.THIS_BORE, RingSetState.ANOTHER_BORE],
        RingSetState.NO_BORE,
    )


def ring_filed_for(ring_mark_fitted: Value, ring_mark: Value, cylinder_number: Value) -> Value:
    r"""The cylinder for which the ring set in a bore was filed.

    .. math:: \sum_j j \, [m_{filed,j} = m_{fitted,i}]

    Parameters
    ----------
    ring_mark_fitted : shape (..., cylinder), [1]
    ring_mark : shape (..., cylinder), [1]
    cylinder_number : shape (..., cylinder), [1]

    Returns
    -------
    ring_filed_for : shape (..., cylinder), [1]

    Notes
    -----
    nan unless exactly one bore has a set of this mark.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> marks, numbers = np.array([1.0, 2.0, 3.0]), np.array([1.0, 2.0, 3.0])
    >>> ring_filed_for(np.array([2.0, 1.0, 9.0]), marks, numbers).tolist()
    [2.0, 1.0, nan]
    """
    match = same_marks(ring_mark_fitted, ring_mark)
    number = np.sum(np.where(match, cylinder_number[..., np.newaxis, :], 0.0), axis=-1)
    return only_where(np.sum(match, axis=-1) == 1, number)


def ring_hold_state(ring_side_up: Value, piston_front: Value, rings_placed: Value) -> Value:
    r"""Say whether the rings' marks, the piston's front mark and the gaps are as they must be.

    .. math:: \text{all three right: passed} \qquad \text{one wrong: put right}

    Parameters
    ----------
    ring_side_up : shape (..., cylinder), [1]
    piston_front : shape (..., cylinder), [1]
    rings_placed : shape (..., cylinder), [1]

    Returns
    -------
    ring_hold_state : shape (..., cylinder), [1]

    Notes
    -----
    Never nan. Not noted, where nothing is wrong but not all three are noted.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> up, front = RingSideUp.UP, FrontMark.TURNED_ROUND
    >>> HoldState(int(ring_hold_state(up, front, AsDrawn.AS_DRAWN))).text
    'put right'
    """
    wrong = (
        np.equal(ring_side_up, RingSideUp.DOWN)
        | np.equal(piston_front, FrontMark.TURNED_ROUND)
        | np.equal(rings_placed, AsDrawn.OTHERWISE)
    )
    noted = ~(np.isnan(ring_side_up) | np.isnan(piston_front) | np.isnan(rings_placed))
    return np.select([wrong, noted], [HoldState.PUT_RIGHT, HoldState.PASSED], HoldState.NOT_NOTED)
