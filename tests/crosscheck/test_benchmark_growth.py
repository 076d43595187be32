"""The pile of the benchmark of growth: files of their own, kept as those of a run are."""

from __future__ import annotations

from itertools import islice

import pytest

from tests import benchmark_growth as growth
from tests.benchmark_growth import COPIED, checked_once, files, measured
from validators.kept_form import to_record
from validators.pile_copies import CopyOf, find_copies


@pytest.fixture(scope="module")
def once(tmp_path_factory):
    return checked_once(tmp_path_factory.mktemp("once"), "twin")


def test_the_first_is_sound_and_every_other_has_a_fault(once):
    assert len(once) == len(growth.FAULTS) + 1
    assert [base.report.exit_status for base in once] == [0] + [1] * len(growth.FAULTS)


def test_files_differ_as_those_of_a_pile_do(once):
    found = list(islice(files(once, COPIED), COPIED - 31, None))
    told = [outcome for _, outcome in found]
    assert len({piece.place for piece, _ in found}) == len({one.report.digest for one in told}) == 31
    assert len({one.contents.entries for one in told}) == 31
    assert sum(one.report.job == "" for one in told) == 31 // growth.UNNUMBERED
    assert [number for number, one in enumerate(told, COPIED - 31) if one.report.exit_status] == [
        number for number in range(COPIED - 31, COPIED) if (number + 1) % growth.FAULTY == 0
    ]
    at = {piece.place: outcome for piece, outcome in found}
    copies = find_copies([
        CopyOf(
            place=place, digest=one.report.digest, job=one.report.job, dates=(), plan=one.contents.plan,
            modified=None, read=lambda one=one: one.contents,
        )
        for place, one in at.items()
    ])
    (group,) = copies
    assert {at[place].report.job for place in group.files} == {f"J-{COPIED - 2:06d}"}


def test_a_record_is_kept_of_each(once):
    _, outcome = next(files(once, 1))
    assert len(to_record(outcome, "0")) > 10_000


def test_the_line_says_how_many_files_it_is_about():
    line = "".join(measured("twin", 130, COPIED, growth.REPORTS))
    assert len(line) == len(growth.heads(growth.REPORTS))
    number, put_away, compared, copies, told, lines, page, size, pages, *others, memory = line.split()
    assert (int(number), int(copies), int(pages)) == (130, 0, 0)
    assert float(put_away) > 0.5  # more than half of them are written to disk
    assert all(float(figure) > 0 for figure in (compared, told, lines, page, size, *others, memory))
