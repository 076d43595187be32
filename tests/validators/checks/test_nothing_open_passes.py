"""Only "within" is a pass: every other verdict has a finding that says what to act on."""

from __future__ import annotations

import pytest

from sheetgen.fill import fill_workbook
from validators.findings import Severity
from validators.random_builds import random_entries
from validators.sheet import check_workbook


def unexplained(report, plan):
    """Return verdicts about what must be judged that are no pass, and that no finding speaks of."""
    told = {
        name
        for finding in report.findings
        if finding.severity is not Severity.INFORMATION
        for name in (finding.quantity, *finding.holds_up)
    }
    return {
        verdict.name: verdict.word
        for verdict in report.verdicts
        if verdict.word != "within" and verdict.name not in told
        and not plan.catalogue.entries[plan.by_name[verdict.name].key].optional
    }


@pytest.mark.parametrize("seed", range(2, 7))
def test_every_verdict_that_is_no_pass_has_a_finding(three, save, seed):
    """Blanks, edges, slips and words from nowhere leave nothing open that nobody is told of."""
    entries = random_entries(three.plan, seed)
    report = check_workbook(save(fill_workbook(three.filled, three.plan, entries)))
    assert unexplained(report, three.plan) == {}
    assert report.results["assembly_state"] == "held"
    assert report.exit_status == 1


@pytest.mark.parametrize("share", [3, 7, 11])
def test_every_blank_has_a_finding(three, save, share):
    """Clearing every third, seventh or eleventh entry of a good sheet is told, whatever it was."""
    inputs = [cell.name for cell in three.plan.cells if cell.is_input]
    entries = dict.fromkeys(inputs[::share])
    report = check_workbook(save(fill_workbook(three.filled, three.plan, entries)))
    assert unexplained(report, three.plan) == {}
    assert {f.code for f in report.findings} >= {"READ01"}


def test_a_sheet_as_issued_passes_nothing(three, save):
    """A workbook that nobody filled in has no verdict within but those of what was given."""
    report = check_workbook(save(three.issued))
    assert unexplained(report, three.plan) == {}
    within = {three.plan.by_name[v.name].key for v in report.verdicts if v.word == "within"}
    assert within == {
        "piston_speed_mean", "candidate_deck_clearance", "candidate_rod_ratio", "candidate_rod_angle",
        "ring_gap_apart", "rail_joint_apart", "ring_off_pin", "ring_off_thrust", "lobe_centre",
    }
