"""What the last binary digit of an entry decides is forgiven, and nothing that lies close by."""

from __future__ import annotations

import math

import pytest

from sheetgen.fill import fill_workbook
from tests.returned.edits import edit_at, store
from tests.returned.workbooks import Engine, readings
from validators.last_digit import MovedCopies
from validators.recompute import Recomputer
from validators.sheet import check_workbook
from validators.shown_again import repeated_name

SIZE, VERDICT, LIMIT = "end_float", "end_float_verdict", "end_float_lower"


def stale(path):
    return [finding for finding in check_workbook(path).findings if finding.code == "CALC02"]


def entries_of(three: Engine):
    """Return what the faultless workbook holds: what was given, and what was typed."""
    given = {cell.name: cell.value for cell in three.plan.cells if cell.is_input}
    return {**given, **readings(three.plan, "three")}


def between_two_words(three: Engine):
    """Return the lower limit at which the next number makes another verdict, and both words.

    The limit is found with the core alone, between ever closer ones.
    """
    recomputer, entries = Recomputer(three.plan), entries_of(three)
    low, high = entries[LIMIT], recomputer.reference([entries])[SIZE][0]
    while True:
        limits = sorted({low, high, *(low + (high - low) * part / 64 for part in range(65))})
        words = recomputer.reference([{**entries, LIMIT: limit} for limit in limits])[VERDICT]
        place = words.index("too close to call")
        assert set(words[:place]) == {"within"}
        low, high = limits[place - 1], limits[place]
        if high == math.nextafter(low, math.inf):
            return low, words[place - 1], words[place]


@pytest.fixture(scope="module")
def at_the_edge(three):
    """The workbook with that limit, and the words."""
    limit, within, close = between_two_words(three)
    return fill_workbook(three.filled, three.plan, {LIMIT: limit}), within, close


def stored_everywhere(data, plan, word):
    """Store a word in the verdict, and in every cell that shows it again."""
    data = store(data, plan, VERDICT, word)
    for cell in plan.cells:
        if cell.role == "verdict_echo" and repeated_name(plan, cell) == VERDICT:
            data = edit_at(data, cell.sheet, cell.address, lambda held: setattr(held[-1], "text", word))
    return data


def test_either_word_may_be_stored_where_the_last_digit_decides(three, at_the_edge, save):
    data, *words = at_the_edge
    for word in words:
        assert not stale(save(stored_everywhere(data, three.plan, word)))


@pytest.mark.parametrize("word", ["under", "not measured"])
def test_any_other_word_is_stale_there(three, at_the_edge, save, word):
    found = stale(save(store(at_the_edge[0], three.plan, VERDICT, word)))
    assert [finding.quantity for finding in found] == [VERDICT]


def test_a_word_that_no_last_digit_brings_about_is_stale(three, save):
    """A file that was saved before the readings were typed says this of most verdicts."""
    found = stale(save(store(three.filled, three.plan, "bore_size_error_verdict_1", "not measured")))
    assert [finding.quantity for finding in found] == ["bore_size_error_verdict_1"]


@pytest.mark.parametrize("part", [-1e-4, 1e-8])
def test_a_number_close_by_is_stale(three, at_the_edge, save, part):
    """One part in a hundred million too, in a file with a verdict that the last digit decides."""
    data = at_the_edge[0]
    size = "piston_clearance_2"
    value = Recomputer(three.plan).reference([entries_of(three)])[size][0]
    found = stale(save(store(data, three.plan, size, repr(value * (1 + part)))))
    assert [finding.quantity for finding in found] == [size]


@pytest.mark.parametrize("name", ["three", "twin"])
def test_nothing_hangs_on_the_last_digit_of_an_ordinary_sheet(request, name):
    """A count that is moved off its whole number would make half of all words tremble."""
    one = request.getfixturevalue(name)
    recomputer = Recomputer(one.plan)
    given = {cell.name: cell.value for cell in one.plan.cells if cell.is_input}
    copies = MovedCopies(recomputer, {**given, **readings(one.plan, name)})
    words = {key: {*told} for key, told in copies.by_core.items() if isinstance(told[0], str)}
    assert len(words) > 500
    assert {key: told for key, told in words.items() if len(told) > 1} == {}
