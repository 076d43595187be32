"""The report as text: it groups, it says whom to call, and nothing in it steers a terminal."""

from validators.findings import BatchReport, Severity
from validators.reports.as_text import as_text


def test_text_shows_control_characters_as_escapes(report):
    """Nothing a file says can steer a terminal."""
    shown = as_text(report("a\x1b[31mb"))
    assert "\x1b" not in shown
    assert "\\x1b[31m" in shown


def test_information_is_hidden_until_it_is_asked_for(report):
    """Notes for information do not set the exit status either."""
    quiet = report(severity=Severity.INFORMATION)
    assert quiet.exit_status == 0
    assert "READ02" not in as_text(quiet)
    assert "1 more for information" in as_text(quiet)
    assert "READ02" in as_text(quiet, all_findings=True)


def test_a_pile_lists_the_silent_and_ends_with_the_calls(sheet, unread):
    """One line for each file that says nothing; people with the most held jobs come first."""
    pile = BatchReport(sheets=(
        sheet("J1", "quiet.xlsx", severity=Severity.INFORMATION),
        sheet("J2", "b.xlsx", who="north"), sheet("J3", "c.xlsx", who="South  shop"),
        sheet("J4", "d.xlsx", who="south shop"), unread(),
    ))
    lines = as_text(pile).splitlines()
    assert [line for line in lines if "quiet.xlsx" in line] == ["  quiet.xlsx   job J1   Verdicts: 1 over."]
    calls = lines[lines.index("Whom to call, the first one first") + 1 :]
    assert calls[0] == "  1. South shop: 2 files of job J3, J4; 2 block assembly"
    assert calls[1].startswith("  2. north: 1 file of job J2")
    assert calls[2].startswith("  3. whoever sent what could not be read: 1 file")
    assert lines[-1] == "5 files: 1 with nothing to act on, 3 to act on, 1 could not be read."
