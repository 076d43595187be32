"""The record of the build: counts of verdicts and blanks, and the state of the assembly."""

import numpy as np

from validators.reference.value import Value
from validators.reference.words import (
    AssemblyState,
    CrownState,
    HoldState,
    ItemState,
    MarkState,
    RetainerState,
    RingSetState,
    Verdict,
)


def verdict_tally(item_verdict: Value) -> Value:
    r"""Count the verdicts of every checked item, word by word.

    .. math:: n_{word} = \#\{v = word\}

    Parameters
    ----------
    item_verdict : shape (..., item, place), [1]
        Every verdict of the item; nan beyond its last place.

    Returns
    -------
    verdict_tally : shape (..., item, tally), [1]

    Notes
    -----
    In the order within, under, over, too close to call, not measured, open. Open is: no limit
    set, or limits to check. Never nan.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> verdict_tally(np.array([[[5.0, 5.0, 3.0, np.nan]]])).tolist()
    [[2, 1, 0, 0, 0, 0]]
    """

    def count(*words: Verdict) -> Value:
        return np.sum(np.isin(item_verdict, [int(word) for word in words]), axis=-1)

    return np.concatenate(
        [
            count(Verdict.WITHIN),
            count(Verdict.UNDER),
            count(Verdict.OVER),
            count(Verdict.TOO_CLOSE),
            count(Verdict.NOT_MEASURED),
            count(Verdict.NO_LIMIT_SET, Verdict.CHECK_LIMITS),
        ],
        axis=-1,
    )


def tally_total(verdict_tally: Value) -> Value:
    r"""Count the verdicts of all checked items, word by word.

    .. math:: \sum_{item} n_{word}

    Parameters
    ----------
    verdict_tally : shape (..., item, tally), [1]

    Returns
    -------
    tally_total : shape (..., tally), [1]

    Notes
    -----
    Never nan.

    Source
    ------
    Common practice, no source.
    """
    return np.sum(verdict_tally, axis=-1)


def item_state(
    verdict_tally_under: Value,
    verdict_tally_over: Value,
    verdict_tally_close: Value,
    verdict_tally_missing: Value,
    verdict_tally_open: Value,
) -> Value:
    r"""Say what a checked item does to the assembly.

    .. math:: n_{under} + n_{over} + n_{close} > 0 \text{ holds it}

    Parameters
    ----------
    verdict_tally_under : shape (..., item), [1]
    verdict_tally_over : shape (..., item), [1]
    verdict_tally_close : shape (..., item), [1]
    verdict_tally_missing : shape (..., item), [1]
    verdict_tally_open : shape (..., item), [1]

    Returns
    -------
    item_state : shape (..., item), [1]

    Notes
    -----
    Never nan.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> ItemState(int(item_state(0, 0, 1, 0, 0))).text
    'hold'
    """
    outside = verdict_tally_under + verdict_tally_over + verdict_tally_close
    undecided = verdict_tally_missing + verdict_tally_open
    return np.select(
        [outside > 0, undecided > 0], [ItemState.HOLD, ItemState.OPEN], ItemState.RELEASED
    )


def items_held(item_state: Value, item_required: Value) -> Value:
    r"""Count the checked items that hold the assembly.

    .. math:: \#\{hold\} + \#\{open \text{ and required}\}

    Parameters
    ----------
    item_state : shape (..., item), [1]
    item_required : shape (..., item), [1]
        1 where the item must be measured, else 0.

    Returns
    -------
    items_held : shape (...), [1]

    Notes
    -----
    Never nan.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> int(items_held(np.array([1, 0, 0, 2]), np.array([0, 1, 0, 1])))
    2
    """
    held = np.equal(item_state, ItemState.HOLD)
    open_but_required = np.equal(item_state, ItemState.OPEN) & np.equal(item_required, 1)
    return np.sum(held | open_but_required, axis=-1)


def mark_faults(
    piston_mark_state: Value,
    rod_mark_state: Value,
    ring_mark_state: Value,
    crown_mark_state: Value,
    ring_set_state: Value,
) -> Value:
    r"""Count the marks that are missing, doubled, or found in another bore.

    .. math:: \#\{\text{not only once}\} + \#\{\text{not as measured}\}

    Parameters
    ----------
    piston_mark_state : shape (..., cylinder), [1]
    rod_mark_state : shape (..., cylinder), [1]
    ring_mark_state : shape (..., cylinder), [1]
    crown_mark_state : shape (..., cylinder), [1]
    ring_set_state : shape (..., cylinder), [1]

    Returns
    -------
    mark_faults : shape (...), [1]

    Notes
    -----
    Never nan.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> once, fitted = np.array([2, 2]), np.array([3, 2])
    >>> int(mark_faults(np.array([2, 1]), once, np.array([0, 2]), np.array([2, 1]), fitted))
    4
    """
    return (
        np.sum(np.not_equal(piston_mark_state, MarkState.ONLY_ONCE), axis=-1)
        + np.sum(np.not_equal(rod_mark_state, MarkState.ONLY_ONCE), axis=-1)
        + np.sum(np.not_equal(ring_mark_state, MarkState.ONLY_ONCE), axis=-1)
        + np.sum(np.not_equal(crown_mark_state, CrownState.AS_MEASURED), axis=-1)
        + np.sum(np.not_equal(ring_set_state, RingSetState.THIS_BORE), axis=-1)
    )


def fit_points_open(
    ring_hold_state: Value, retainer_state: Value, small_end_state: Value
) -> Value:
    r"""Count the points of rings, pins and retainers that are not passed.

    .. math:: \#\{\text{not passed}\} + \#\{\text{small end not within}\}

    Parameters
    ----------
    ring_hold_state : shape (..., cylinder), [1]
    retainer_state : shape (..., cylinder), [1]
    small_end_state : shape (..., cylinder), [1]

    Returns
    -------
    fit_points_open : shape (...), [1]

    Notes
    -----
    Never nan. Retainers that are not needed do not count.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> int(fit_points_open(np.array([2, 1]), np.array([2, 0]), np.array([5, 3])))
    3
    """
    retained = np.equal(retainer_state, RetainerState.PASSED) | np.equal(
        retainer_state, RetainerState.NOT_NEEDED
    )
    return (
        np.sum(np.not_equal(ring_hold_state, HoldState.PASSED), axis=-1)
        + np.sum(~retained, axis=-1)
        + np.sum(np.not_equal(small_end_state, Verdict.WITHIN), axis=-1)
    )


def stage_missing(stage_entry_blank: Value) -> Value:
    r"""Count the entries of a sheet that are still blank.

    .. math:: \sum_{entry} b

    Parameters
    ----------
    stage_entry_blank : shape (..., stage, entry), [1]
        1 for every blank entry of the sheet, 0 for every filled one and beyond its last entry.

    Returns
    -------
    stage_missing : shape (..., stage), [1]

    Notes
    -----
    Never nan.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(stage_missing(np.array([1.0, 0.0, 1.0])))
    2.0
    """
    return np.sum(stage_entry_blank, axis=-1)


def missing_total(stage_missing: Value) -> Value:
    r"""Count the entries of all sheets that are still blank.

    .. math:: \sum_{stage} n

    Parameters
    ----------
    stage_missing : shape (..., stage), [1]

    Returns
    -------
    missing_total : shape (...), [1]

    Notes
    -----
    Never nan.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(missing_total(np.array([1.0, 0.0, 3.0])))
    4.0
    """
    return np.sum(stage_missing, axis=-1)


def assembly_state(
    items_held: Value,
    mark_faults: Value,
    fitted_faults: Value,
    missing_total: Value,
    fit_points_open: Value,
) -> Value:
    r"""Say whether any measurement holds the assembly.

    .. math:: n_{held} = 0 \text{ and } n_{marks} = 0 \text{ and } n_{fitted} = 0
        \text{ and } n_{missing} = 0 \text{ and } n_{points} = 0

    Parameters
    ----------
    items_held : shape (...), [1]
    mark_faults : shape (...), [1]
    fitted_faults : shape (...), [1]
    missing_total : shape (...), [1]
    fit_points_open : shape (...), [1]

    Returns
    -------
    assembly_state : shape (...), [1]

    Notes
    -----
    Never nan. It says nothing about whether an engine is sound, only about what was measured.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> AssemblyState(int(assembly_state(0, 0, 0, 0, 0))).text
    'no measurement holds it'
    """
    measured = np.equal(items_held, 0) & np.equal(missing_total, 0)
    fitted = np.equal(mark_faults, 0) & np.equal(fitted_faults, 0)
    free = measured & fitted & np.equal(fit_points_open, 0)
    return np.where(np.logical_not(free), AssemblyState.HELD, AssemblyState.FREE)
