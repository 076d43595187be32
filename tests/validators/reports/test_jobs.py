"""How each job stands: by its newest copy, whoever measured it."""

from dataclasses import replace

from validators.findings import BatchReport, Copies, Severity
from validators.reports.as_html import as_html
from validators.reports.jobs import jobs_of


def test_a_job_that_several_people_measured_is_one_row(sheet):
    """What blocks most stands first; capitals and spaces make no other job."""
    pile = BatchReport(sheets=(
        sheet("J1", "1.xlsx", who="a", severity=Severity.LOOK), sheet(" j1 ", "2.xlsx", who="b"),
        sheet("J2", "3.xlsx", who="c", severity=Severity.INFORMATION), sheet("", "4.xlsx", who="d"),
    ))
    told = [(job.name, job.people, job.files, job.blocking, job.looking) for job in jobs_of(pile)]
    assert told == [("J1", ("a", "b"), 2, 1, 1), ("J2", ("c",), 1, 0, 0)]
    assert [job.settled for job in jobs_of(pile)] == [False, True]


def test_older_copies_and_the_same_file_again_do_not_count(sheet):
    """The newest copy says how the job stands."""
    newest = replace(sheet("J1", "new.xlsx", severity=Severity.LOOK), digest="n")
    older = replace(sheet("J1", "old.xlsx"), digest="o")
    again, old_again = replace(newest, file="again.xlsx"), replace(older, file="old again.xlsx")
    copies = Copies(job="J1", files=("new.xlsx", "old.xlsx"), times=("", ""), told_by="mail", differences=())
    (job,) = jobs_of(BatchReport(sheets=(older, newest, again, old_again), copies=(copies,)))
    assert (job.files, job.blocking, job.looking) == (4, 0, 1)
    assert [number for number, _ in job.counted] == [2]


def test_the_page_lists_jobs_when_there_are_several(sheet):
    """With a link to the file that counts; one job alone has no such list."""
    pile = BatchReport(sheets=(sheet("J1", "in/1.xlsx", who="a"), sheet("J2", "in/2.xlsx", who="b")))
    page = as_html(pile)
    listed = page.partition('<section id="jobs">')[2].partition("</section>")[0]
    assert listed.count("<tr>") == 3
    assert '<a href="#file-2">2.xlsx</a>' in listed
    assert 'id="jobs"' not in as_html(BatchReport(sheets=pile.sheets[:1]))
