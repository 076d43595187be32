"""A small sample of the corpus, held to the goals of the whole: see `validators/checks/DETECTION.md`."""

from __future__ import annotations

import pytest

from sheetgen.fill import fill_workbook
from tests.corpus.__main__ import TITLES_BESIDE
from tests.corpus.after_issue import AFTER_ISSUE, UNCHANGED, measure_after_issue
from tests.corpus.copies import CLEAN, FAULTY, PAIR, ordered, written
from tests.corpus.damage import NO_FAULT
from tests.corpus.detection import PROGRAM, alarms, measure, rows, short_of_the_goal
from tests.corpus.engines import corpus_engine
from validators.sheet import check_workbook, check_workbooks

ENGINES = ("inline-4 inch", "inline-4")


@pytest.fixture(scope="module")
def sample():
    """What came of a copy of each kind; in each family of units of some pairs, and some without a fault."""
    inch = measure(clean=8, each=1, pairs=2, engines=ENGINES[:1])
    return inch + measure(clean=8, each=0, pairs=2, engines=ENGINES[1:])


def test_every_kind_is_in_the_sample(sample):
    """No kind of fault drops out because it cannot be made."""
    assert {one.kind for one in sample} == {*FAULTY, *NO_FAULT, CLEAN, PAIR}


def test_the_sample_meets_the_goals(sample):
    """At least 99 % of what can be decided is told at its cell by its code; good copies are quiet."""
    assert short_of_the_goal(sample) == []
    assert sum(row.copies for row in rows(sample) if row.decidable) > 0.9 * len(FAULTY)
    assert alarms(sample, CLEAN, *NO_FAULT) == (0, 16 + len(NO_FAULT))


def test_what_only_shows_beside_what_was_issued_is_found():
    """Each kind once, and a copy that came back as it was sent."""
    found = measure_after_issue(1, 1, ENGINES[1:])
    assert {one.kind for one in found} == {*AFTER_ISSUE, UNCHANGED}
    assert [row.found for row in rows(found, TITLES_BESIDE)] == [1] * len(AFTER_ISSUE)
    assert alarms(found, UNCHANGED) == (0, 1)


def test_kind_and_seed_give_the_same_copy_again():
    """A copy is known by its kind and its seed."""
    first, again, other = (written([ordered("outlier", seed, ENGINES)])[0] for seed in (3, 3, 4))
    assert first == again
    assert first != other


def test_a_copy_is_filled_as_any_workbook_is(tmp_path):
    """The quick way of filling stores what the usual one stores: nothing is stale in either."""
    order = ordered(CLEAN, 1, ENGINES)
    engine = corpus_engine(ENGINES[0])
    paths = [tmp_path / "quick.xlsx", tmp_path / "usual.xlsx"]
    paths[0].write_bytes(written([order])[0])
    paths[1].write_bytes(fill_workbook(engine.issued.whole(), engine.plan, order.copy.typed))
    quick, usual = check_workbooks(paths)
    assert [(f.code, f.quantity) for f in quick.findings] == [(f.code, f.quantity) for f in usual.findings]
    assert quick.results == usual.results


def test_sheets_checked_together_are_told_as_each_alone(tmp_path):
    """What is said of a file does not depend on the files beside it."""
    orders = [ordered(kind, 2, ENGINES) for kind in ("text", "point", CLEAN, "mark")]
    paths = []
    for number, data in enumerate(written(orders)):
        paths.append(tmp_path / f"{number}.xlsx")
        paths[-1].write_bytes(data)
    assert check_workbooks(paths) == [check_workbook(path) for path in paths]


@pytest.mark.office
@pytest.mark.skipif(PROGRAM is None, reason="LibreOffice is not installed")
def test_copies_saved_by_another_program_meet_the_goals():
    """A few copies that the office program recalculated and saved are told as the others are."""
    found = measure(clean=2, each=0, pairs=0, engines=ENGINES[:1], office=True)
    assert alarms(found, CLEAN) == (0, 2)
