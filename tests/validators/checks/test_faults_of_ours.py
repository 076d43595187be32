"""Faults of this program, shown by breaking it: no returned workbook can have them."""

from __future__ import annotations

import logging

import pytest

from sheetgen.fill import fill_workbook
from validators.batch import check_files
from validators.checks import out_of_limits
from validators.findings import Severity, Status
from validators.recompute import Recomputer
from validators.sheet import check_workbook


def broken_core(monkeypatch, **changed):
    """Let the reference core give other results than its functions do."""
    honest = Recomputer.reference

    def reference(self, batch):
        return {**honest(self, batch), **{name: [value] for name, value in changed.items()}}

    monkeypatch.setattr(Recomputer, "reference", reference)


def test_two_statements_that_differ_are_our_fault(monkeypatch, three, save):
    """A core that disagrees with the formula as it was written is CALC03, and blocks."""
    broken_core(monkeypatch, rock_angle_2=0.07)
    report = check_workbook(save(three.filled))
    disagree = [f for f in report.findings if f.code == "CALC03"]
    assert [f.quantity for f in disagree] == ["rock_angle_2"]
    assert disagree[0].severity is Severity.BLOCKS
    assert disagree[0].expected == "0.07 by the reference core"
    assert report.exit_status == 1


@pytest.mark.parametrize("value", ["", "within", float("nan"), float("inf")])
def test_a_core_that_gives_what_it_never_should_is_our_fault(monkeypatch, three, save, value):
    """Nothing, a word, nan or inf in place of a number disagrees too, and is no traceback."""
    broken_core(monkeypatch, rock_angle_2=value)
    assert [f.code for f in check_workbook(save(three.filled)).findings][-1] == "CALC03"


def test_many_results_that_differ_are_one_finding(monkeypatch, three, save):
    """Where a whole quantity differs, that is told once."""
    broken_core(monkeypatch, **{f"main_journal_step_gap_1_s{n}": 9.0 for n in range(1, 6)})
    disagree = [f for f in check_workbook(save(three.filled)).findings if f.code == "CALC03"]
    assert [f.quantity for f in disagree] == ["main_journal_step_gap"]


def test_what_rests_on_a_spoilt_entry_is_not_compared(monkeypatch, three, save):
    """A result of an entry that must be put right first is not held against the core."""
    broken_core(monkeypatch, chamber_spread=9.0)
    data = fill_workbook(three.filled, three.plan, {"chamber_volume_2": 4.0})
    codes = [f.code for f in check_workbook(save(data)).findings]
    assert codes == ["READ03"]


def test_a_check_that_fails_is_told_and_the_run_goes_on(monkeypatch, three, save, caplog):
    """A fault of ours is TOOL01 for that file, with the traceback in the log; the next file is checked."""
    honest = out_of_limits.find

    def find(sheet):
        if sheet.path.name == "first.xlsx":
            raise ZeroDivisionError
        return honest(sheet)

    monkeypatch.setattr(out_of_limits, "find", find)
    paths = [save(three.filled, name) for name in ("first.xlsx", "second.xlsx")]
    with caplog.at_level(logging.ERROR, logger="boreledger"):
        report = check_files(paths)
    first, second = report.sheets
    assert [f.code for f in first.findings] == ["TOOL01"]
    assert "ZeroDivisionError" in first.findings[0].found
    assert (first.status, first.exit_status) == (Status.UNREADABLE, 2)
    assert second.exit_status == 0
    assert report.exit_status == 2
    assert "ZeroDivisionError" in caplog.text


def test_the_check_of_our_own_faults_says_nothing_by_itself(three, save):
    """TOOL01 is told by the run, never by a sheet."""
    assert not [f for f in check_workbook(save(three.filled)).findings if f.code == "TOOL01"]
