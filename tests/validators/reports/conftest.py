"""Invented reports: one file with one finding and one verdict, in whatever words a test wants."""

import pytest

from validators.findings import BatchReport, Finding, Place, Severity, SheetReport, Status, Verdict


def invented_sheet(
    text="plain", file="a.xlsx", who="the shop", severity=Severity.BLOCKS, word="over", value=0.0242,
    job=None, todo=None,
):
    """Return one file's report in which every text that a stranger can reach is `text`."""
    place = Place(file=file, sheet=text, cell="F14", label=text)
    finding = Finding(
        code="READ02", name="reading-is-text", severity=severity, place=place, quantity="bore_reading_3",
        found=text, expected=text, todo=todo or text, holds_up=("bore_mean_3", "piston_clearance_3"),
    )
    verdict = Verdict(
        name="bore_taper_3", key="bore_taper", label=f"Taper, {text}", title="Taper", place=place,
        value=value, unit="mm", lower=None, upper=0.013, guard=0.002, origin=text, word=word, decimals=4,
    )
    return SheetReport(
        file=file, status=Status.CHECKED, job=text if job is None else job, layout="inline-3",
        family="millimetre", engine=text, builder=text, measured_by=who, measured_on="2031-04-24",
        saved_by=text, template_version="1", findings=(finding,), verdicts=(verdict,),
        results={"bore_mean_3": "", "bore_taper_3": value},
    )


def unread_sheet(file="broken.xlsx"):
    """Return the report of a file that could not be read."""
    finding = Finding(
        code="FILE02", name="not-a-workbook", severity=Severity.BLOCKS, place=Place(file=file),
        found="a web page", expected="an .xlsx workbook", todo="Send the workbook.",
    )
    return SheetReport(file=file, status=Status.UNREADABLE, findings=(finding,))


@pytest.fixture
def sheet():
    return invented_sheet


@pytest.fixture
def unread():
    return unread_sheet


@pytest.fixture
def report():
    """Return what makes a report of one such file."""
    return lambda *arguments, **words: BatchReport(sheets=(invented_sheet(*arguments, **words),))


HOSTILE = (
    "<script>alert(1)</script>", "\"><img src=x onerror=alert(1)>", "' onmouseover='alert(1)",
    "</title></style></textarea><svg onload=alert(1)>", "{{ 7*7 }}{% include '/etc/passwd' %}",
    "<a href='https://example.org'>click</a>", "https://example.org/steal", "javascript:alert(1)",
    "<!-- ", "]]>", "&lt;b&gt;", "=HYPERLINK(\"https://example.org\",\"x\")", "+1+cmd|' /C calc'!A0",
    "@SUM(A1)",
    "-2+3", "\t=1+1",
    "\r\n=1+1", "a\x00b\x1b[31mc\x08", "\u202egpj.exe", "half \ud800 character", "x" * 40_000,
    "_x0041_", "＝1+1",
)


@pytest.fixture(params=HOSTILE, ids=[ascii(text)[1:21] for text in HOSTILE])
def hostile(request):
    return request.param
