"""Marks, counts and the state of the assembly, against plain counting in Python."""

from collections import Counter
from itertools import product

import numpy as np
import pytest

from validators.reference.marks import crown_mark_state, mark_state
from validators.reference.record import (
    assembly_state,
    fit_points_open,
    item_state,
    items_held,
    mark_faults,
    missing_total,
    stage_missing,
    tally_total,
    verdict_tally,
)
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

NAN = float("nan")


def test_marks_are_counted_within_their_own_build():
    """Every way to put two marks or a blank on three parts, as one batch."""
    marks = np.array(list(product([1.0, 2.0, NAN], repeat=3)))
    found = mark_state(marks)
    for row, states in zip(marks.tolist(), found.tolist(), strict=True):
        used = Counter(mark for mark in row if not np.isnan(mark))
        for mark, state in zip(row, states, strict=True):
            if np.isnan(mark):
                assert state == MarkState.NO_MARK
            elif used[mark] > 1:
                assert state == MarkState.SAME_MARK_TWICE
            else:
                assert state == MarkState.ONLY_ONCE


@pytest.mark.parametrize(
    ("crown", "piston", "word"),
    [
        (1.0, 1.0, CrownState.AS_MEASURED),
        (1.0, 2.0, CrownState.ANOTHER_PISTON),
        (NAN, 2.0, CrownState.NOT_READ),
        (1.0, NAN, CrownState.NOT_READ),
        (NAN, NAN, CrownState.NOT_READ),
    ],
)
def test_a_crown_is_compared_with_the_piston_that_was_measured(crown, piston, word):
    assert crown_mark_state(crown, piston) == word


def test_verdicts_are_tallied_per_item_and_in_all():
    random = np.random.default_rng(9)
    verdicts = random.integers(0, 7, (3, 5, 11)).astype(float)
    verdicts[:, 2, 6:] = NAN
    tally = verdict_tally(verdicts[:, :, np.newaxis, :])
    assert tally.shape == (3, 5, 6)
    order = [
        (Verdict.WITHIN,),
        (Verdict.UNDER,),
        (Verdict.OVER,),
        (Verdict.TOO_CLOSE,),
        (Verdict.NOT_MEASURED,),
        (Verdict.NO_LIMIT_SET, Verdict.CHECK_LIMITS),
    ]
    for build, item in product(range(3), range(5)):
        counted = Counter(verdicts[build, item].tolist())
        assert tally[build, item].tolist() == [
            sum(counted[word] for word in words) for words in order
        ]
    assert tally.sum() == np.count_nonzero(~np.isnan(verdicts))
    assert np.array_equal(tally_total(np.swapaxes(tally, -1, -2)), tally.sum(axis=-2))


def test_one_bad_verdict_holds_an_item_and_one_open_one_keeps_it_open():
    for counts in product([0, 2], repeat=5):
        under, over, close, missing, undecided = counts
        if under or over or close:
            word = ItemState.HOLD
        else:
            word = ItemState.OPEN if missing or undecided else ItemState.RELEASED
        assert item_state(*counts) == word


def test_an_open_item_holds_the_assembly_only_where_it_must_be_measured():
    states = np.array(list(product(ItemState, repeat=2)), dtype=float)
    for state, required in product(states, product([0.0, 1.0], repeat=2)):
        expected = sum(
            word == ItemState.HOLD or (word == ItemState.OPEN and must == 1)
            for word, must in zip(state, required, strict=True)
        )
        assert items_held(state, np.array(required)) == expected


def test_mark_faults_count_every_list():
    once, measured = MarkState.ONLY_ONCE, CrownState.AS_MEASURED
    clean = [np.full(4, once), np.full(4, once), np.full(4, once), np.full(4, measured)]
    clean += [np.full(4, RingSetState.THIS_BORE)]
    assert mark_faults(*clean) == 0
    for number, list_of_states in enumerate(clean):
        for word in (0, 1):
            spoiled = [*clean]
            spoiled[number] = np.where(np.arange(4) < 3, word, list_of_states)
            assert mark_faults(*spoiled) == 3


def test_points_of_the_fit_are_open_until_they_are_passed():
    """Every pair of words at every small end; retainers alone may be not needed."""
    words = product(HoldState, RetainerState, (Verdict.WITHIN, Verdict.OVER, Verdict.NOT_MEASURED))
    for ring, retainer, small_end in words:
        expected = (
            (ring != HoldState.PASSED)
            + (retainer not in (RetainerState.PASSED, RetainerState.NOT_NEEDED))
            + (small_end != Verdict.WITHIN)
        )
        assert fit_points_open(*(np.array([word]) for word in (ring, retainer, small_end))) == expected


def test_blanks_are_counted_per_sheet_and_in_all():
    blank = np.array([[1.0, 0.0, 1.0], [0.0, 0.0, 0.0], [1.0, 1.0, 1.0]])
    assert stage_missing(blank).tolist() == [2.0, 0.0, 3.0]
    assert missing_total(stage_missing(blank)) == 5.0


def test_the_assembly_is_free_only_when_nothing_at_all_holds_it():
    for counts in product([0, 1], repeat=5):
        word = AssemblyState.HELD if any(counts) else AssemblyState.FREE
        assert assembly_state(*counts) == word
