"""Whom to call: by person, job and file, each errand said once, the worst first."""

from dataclasses import replace

from validators.findings import BatchReport, Finding, Place, Severity
from validators.reports.calls import calls_of, errands_for, errands_of


def test_a_file_with_nothing_to_act_on_needs_no_call(sheet):
    """Notes for information call for nobody."""
    assert calls_of(BatchReport(sheets=(sheet(severity=Severity.INFORMATION),))) == ()


def test_jobs_of_one_person_stand_together_with_what_blocks_first(sheet):
    """Capitals and spaces make no other person; files keep their numbers in the report."""
    pile = BatchReport(sheets=(
        sheet("J1", "1.xlsx", who="The Shop", severity=Severity.LOOK),
        sheet("J2", "2.xlsx", who=" the  shop "), sheet("J2", "3.xlsx", who="the shop"),
    ))
    (call,) = calls_of(pile)
    assert (call.who, call.blocking, call.looking, call.held_jobs) == ("The Shop", 2, 1, 1)
    numbers = [(job.name, [concern.number for concern in job.concerns]) for job in call.jobs]
    assert numbers == [("J2", [2, 3]), ("J1", [1])]


def test_somebody_named_is_called_before_somebody_unknown(sheet):
    """With as many jobs held, a call that can be made comes first, even with less to say."""
    named, unnamed = sheet("J1", "1.xlsx", who="shop"), sheet("J2", "2.xlsx", who="")
    unnamed = replace(unnamed, findings=unnamed.findings * 5)
    assert [call.who for call in calls_of(BatchReport(sheets=(unnamed, named)))] == ["shop", ""]


def test_one_thing_to_do_is_said_once(sheet):
    """Findings with one remedy and one severity are one errand, with their numbers."""
    findings = [
        sheet("a", todo="Retype it.").findings[0],
        sheet("b", todo="Look.", severity=Severity.LOOK).findings[0],
        sheet("c", todo="Retype it.").findings[0], sheet("d", severity=Severity.INFORMATION).findings[0],
    ]
    errands = errands_of((f"file-1-{number}", finding) for number, finding in enumerate(findings, 1))
    assert [(e.todo, [anchor for anchor, _ in e.findings]) for e in errands] == [
        ("Retype it.", ["file-1-1", "file-1-3"]), ("Look.", ["file-1-2"]),
    ]



def test_an_older_copy_is_told_to_whoever_measured_it(sheet):
    """A file with nothing of its own to act on is called for when the pile asks for a look at it."""
    calm = sheet("J1", "in/v1.xlsx", who="shop", severity=Severity.INFORMATION)
    place = Place(file="in/v1.xlsx", sheet="Bores", cell="F14", label="Bore")
    older = Finding(
        code="PILE02", name="copies-differ", severity=Severity.LOOK, place=place, found="an older copy",
        expected="what the newest has", todo="Ask which holds.",
    )
    pile = BatchReport(sheets=(calm,), findings=(older,))
    (call,) = calls_of(pile)
    (concern,) = call.concerns
    (errand,) = errands_for(pile, concern)
    assert (call.who, call.blocking, call.looking) == ("shop", 0, 1)
    assert (concern.anchor, errand.about, errand.todo) == (
        "pile-1", "the pile", "Ask which holds.",
    )
    told = replace(older, severity=Severity.INFORMATION)
    assert calls_of(BatchReport(sheets=(calm,), findings=(told,))) == ()
