"""The steps of the assembly: what holds them, and whether the parts fitted are those that were measured."""

import numpy as np

from validators.reference.value import Value
from validators.reference.words import FittedState, ItemState, StepState


def step_held_by(
    step_rests: Value,
    item_state: Value,
    item_required: Value,
    step_marks: Value,
    mark_faults: Value,
    fitted_faults: Value,
    step_points: Value,
    fit_points_open: Value,
) -> Value:
    r"""Count what holds a step: checked items that are not released, and marks that are wrong.

    .. math:: \#\{\text{rests on, hold}\} + \#\{\text{rests on, open, required}\} + [\text{marks wrong}]
        + [\text{points open}]

    Parameters
    ----------
    step_rests : shape (..., item, task), [1]
        1 where the step rests on the item, else 0.
    item_state : shape (..., item), [1]
    item_required : shape (..., item), [1]
    step_marks : shape (..., task), [1]
        1 where the marks must be right, else 0.
    mark_faults : shape (...), [1]
    fitted_faults : shape (...), [1]
    step_points : shape (..., task), [1]
        1 where rings, pins and retainers must be passed, else 0.
    fit_points_open : shape (...), [1]

    Returns
    -------
    step_held_by : shape (..., task), [1]

    Notes
    -----
    Never nan. Wrong marks, and points that are open, count once each, however many they are.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> rests, state, required = np.array([1, 1, 0]), np.array([1, 0, 1]), np.array([1, 0, 1])
    >>> marks, points = (np.array([1]), np.array([2]), np.array([0])), (np.array([0]), np.array([3]))
    >>> step_held_by(rests, state, required, *marks, *points).item()
    2
    """
    held = np.equal(item_state, ItemState.HOLD)
    open_but_required = np.equal(item_state, ItemState.OPEN) & np.equal(item_required, 1)
    by_items = np.sum(np.equal(step_rests, 1) & (held | open_but_required), axis=-1)
    by_marks = np.equal(step_marks, 1) & ((mark_faults > 0) | (fitted_faults > 0))
    by_points = np.equal(step_points, 1) & (fit_points_open > 0)
    return by_items + by_marks[..., 0] + by_points[..., 0]


def step_signed(step_by: Value, step_date: Value) -> Value:
    r"""Say whether a step is signed, with a name and a date.

    .. math:: 1 \text{ if both are there, else } 0

    Parameters
    ----------
    step_by : shape (..., task), [1]
        nan while blank.
    step_date : shape (..., task), [1]
        nan while blank.

    Returns
    -------
    step_signed : shape (..., task), [1]

    Notes
    -----
    Never nan.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(step_signed(1.0, 1.0)), float(step_signed(1.0, np.nan))
    (1.0, 0.0)
    """
    return np.where(np.isnan(step_by) | np.isnan(step_date), 0.0, 1.0)


def step_open_before(step_number: Value, step_signed: Value) -> Value:
    r"""Count the earlier steps that are not signed.

    .. math:: \#\{j < i, \text{not signed}\}

    Parameters
    ----------
    step_number : shape (..., task), [1]
    step_signed : shape (..., task), [1]

    Returns
    -------
    step_open_before : shape (..., task), [1]

    Notes
    -----
    Never nan.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> step_open_before(np.array([1, 2, 3]), np.array([1, 0, 0])).tolist()
    [0, 0, 1]
    """
    this, other = step_number[..., :, np.newaxis], step_number[..., np.newaxis, :]
    unsigned = np.equal(step_signed, 0)[..., np.newaxis, :]
    return np.sum((other < this) & unsigned, axis=-1)


def step_state(step_held_by: Value, step_signed: Value, step_open_before: Value) -> Value:
    r"""Say whether a step is held, may be done, or is done.

    .. math:: n_{held} > 0 \text{ holds it, signed or not}

    Parameters
    ----------
    step_held_by : shape (..., task), [1]
    step_signed : shape (..., task), [1]
    step_open_before : shape (..., task), [1]

    Returns
    -------
    step_state : shape (..., task), [1]

    Notes
    -----
    Never nan.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> [StepState(int(step_state(held, signed, 0))).text for held in (1, 0) for signed in (0, 1)]
    ['held', 'signed but held', 'cleared', 'done']
    """
    held, signed = np.greater(step_held_by, 0), np.equal(step_signed, 1)
    return np.select(
        [held & signed, held, signed, np.greater(step_open_before, 0)],
        [StepState.SIGNED_BUT_HELD, StepState.HELD, StepState.DONE, StepState.AFTER_EARLIER],
        StepState.CLEARED,
    )


def steps_held(step_held_by: Value) -> Value:
    r"""Count the steps that something holds.

    .. math:: \#\{n_{held} > 0\}

    Parameters
    ----------
    step_held_by : shape (..., task), [1]

    Returns
    -------
    steps_held : shape (...), [1]

    Notes
    -----
    Never nan.

    Source
    ------
    Common practice, no source.
    """
    return np.sum(np.greater(step_held_by, 0), axis=-1)


def steps_done(step_state: Value) -> Value:
    r"""Count the steps that are cleared and signed.

    .. math:: \#\{done\}

    Parameters
    ----------
    step_state : shape (..., task), [1]

    Returns
    -------
    steps_done : shape (...), [1]

    Notes
    -----
    Never nan.

    Source
    ------
    Common practice, no source.
    """
    return np.sum(np.equal(step_state, StepState.DONE), axis=-1)


def steps_doubtful(step_state: Value) -> Value:
    r"""Count the steps that were signed although something holds them.

    .. math:: \#\{\text{signed but held}\}

    Parameters
    ----------
    step_state : shape (..., task), [1]

    Returns
    -------
    steps_doubtful : shape (...), [1]

    Notes
    -----
    Never nan.

    Source
    ------
    Common practice, no source.
    """
    return np.sum(np.equal(step_state, StepState.SIGNED_BUT_HELD), axis=-1)


def fitted_state(
    fitted_piston: Value,
    piston_mark: Value,
    fitted_rod: Value,
    rod_mark: Value,
) -> Value:
    r"""Say whether the parts that went into a bore are those that were measured for it.

    .. math:: m_{fitted} = m_{measured} \text{ for piston and rod}

    Parameters
    ----------
    fitted_piston : shape (..., cylinder), [1]
    piston_mark : shape (..., cylinder), [1]
    fitted_rod : shape (..., cylinder), [1]
    rod_mark : shape (..., cylinder), [1]

    Returns
    -------
    fitted_state : shape (..., cylinder), [1]

    Notes
    -----
    Never nan. A part that was fitted and never marked when it was measured is another part.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> FittedState(int(fitted_state(4.0, 4.0, 6.0, 7.0))).text
    'another part'
    """
    pairs = ((fitted_piston, piston_mark), (fitted_rod, rod_mark))
    another, unread = np.False_, np.False_
    for fitted, measured in pairs:
        unread = unread | np.isnan(fitted)
        another = another | (~np.isnan(fitted) & ~np.equal(fitted, measured))
    return np.select(
        [another, unread], [FittedState.ANOTHER_PART, FittedState.NOT_NOTED], FittedState.AS_MEASURED
    )


def fitted_faults(fitted_state: Value) -> Value:
    r"""Count the bores into which another part went than was measured for it.

    .. math:: \#\{\text{another part}\}

    Parameters
    ----------
    fitted_state : shape (..., cylinder), [1]

    Returns
    -------
    fitted_faults : shape (...), [1]

    Notes
    -----
    Never nan.

    Source
    ------
    Common practice, no source.
    """
    return np.sum(np.equal(fitted_state, FittedState.ANOTHER_PART), axis=-1)
