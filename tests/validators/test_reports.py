"""Reports: the same findings in every form, and nothing in them comes alive."""

import csv
import io
import json

from validators.findings import BatchReport, Finding, Place, Severity, SheetReport, Status, Verdict
from validators.reports.as_csv import as_csv
from validators.reports.as_json import as_json
from validators.reports.as_text import as_text


def report(text="=1+1", severity=Severity.BLOCKS):
    place = Place(file="a.xlsx", sheet="Bores", cell="F14", label="Bore, cylinder 3")
    finding = Finding(
        code="READ02", name="reading-is-text", severity=severity, place=place, quantity="bore_reading_3",
        found=text, expected="a number", todo="retype it", holds_up=("bore_mean_3", "piston_clearance_3"),
    )
    verdict = Verdict(
        name="bore_taper_3", label="Taper", place=place, value=0.004, unit="mm", lower=None, upper=0.013,
        guard=0.002, origin="common practice", word="within",
    )
    sheet = SheetReport(
        file="a.xlsx", status=Status.CHECKED, job=text, layout="inline-3", family="millimetre",
        findings=(finding,), verdicts=(verdict,), results={"bore_mean_3": "", "bore_taper_3": 0.004},
    )
    return BatchReport(sheets=(sheet,))


def test_json_says_everything_and_has_a_version():
    """Shape, version, finding, verdict, and null for what is not measured."""
    data = json.loads(as_json(report()))
    assert (data["shape"], data["version"], data["exit_status"]) == ("boreledger report", 1, 1)
    sheet = data["sheets"][0]
    assert sheet["findings"][0]["holds_up"] == ["bore_mean_3", "piston_clearance_3"]
    assert sheet["verdicts"][0]["word"] == "within"
    assert sheet["results"] == {"bore_mean_3": None, "bore_taper_3": 0.004}


def test_csv_never_starts_a_formula():
    """Text from strangers gets an apostrophe; control characters are gone."""
    rows = list(csv.DictReader(io.StringIO(as_csv(report("=HYPERLINK(1)\x1b[31m\n")))))
    assert rows[0]["found"] == "'=HYPERLINK(1) [31m "
    assert rows[0]["job"].startswith("'=")
    assert rows[0]["code"] == "READ02"


def test_text_shows_control_characters_as_escapes():
    """Nothing a file says can steer a terminal."""
    shown = as_text(report("a\x1b[31mb"))
    assert "\x1b" not in shown
    assert "\\x1b[31m" in shown


def test_information_is_hidden_until_it_is_asked_for():
    """Notes for information do not set the exit status either."""
    quiet = report(severity=Severity.INFORMATION)
    assert quiet.exit_status == 0
    assert "READ02" not in as_text(quiet)
    assert "1 more for information" in as_text(quiet)
    assert "READ02" in as_text(quiet, all_findings=True)
