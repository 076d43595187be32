"""A big pile makes a page that still opens, and says what it leaves out."""

from dataclasses import replace

import pytest

from validators.findings import BatchReport, Severity, Status
from validators.reports.as_html import LARGE, as_html
from validators.reports.as_text import as_text

FILES, VERDICTS = 2000, 120


@pytest.fixture(scope="module")
def kinds():
    """Return ten quantities over twelve places, some of them out."""
    return [
        (f"quantity_{key}", place, "over" if (key, place) in ((1, 3), (4, 7)) else "within")
        for key in range(10) for place in range(VERDICTS // 10)
    ]


def pile_of(count, sheet, kinds):
    """Return a pile of which every fourth file has nothing to act on and every fiftieth is unread."""
    model = sheet("a text of a usual length, as people type")
    first = model.verdicts[0]
    verdicts = tuple(
        replace(first, name=f"{key}_{place}", key=key, label=f"Clearance of {key}, cylinder {place}",
                title=f"Clearance of {key}", word=word,
                value=0.06 + (0.05 if word == "over" else place / 1e3),
                lower=0.05, upper=0.08)
        for key, place, word in kinds
    )
    look = replace(model.findings[0], severity=Severity.LOOK)
    told = replace(model.findings[0], severity=Severity.INFORMATION)
    busy = replace(model, verdicts=verdicts, findings=(*model.findings * 3, look, told))
    calm = replace(model, verdicts=tuple(replace(v, word="within", value=0.06) for v in verdicts),
                   findings=(told,))
    lost = replace(model, status=Status.UNREADABLE, job="", measured_by="", verdicts=())
    return BatchReport(sheets=tuple(
        replace(
            lost if n % 50 == 0 else calm if n % 4 == 0 else busy, file=f"in/{n:04}.xlsx",
            job=f"J{n // 2}" if n % 50 else "", measured_by=f"shop {n % 37}" if n % 50 else "",
        )
        for n in range(1, count + 1)
    ))


def test_two_thousand_sheets_make_a_page_that_opens(sheet, kinds):
    """Aggregates first, details folded, some megabytes."""
    pile = pile_of(FILES, sheet, kinds)
    page = as_html(pile)
    assert 1 < len(page.encode()) / 1e6 < 20
    assert page.count('<tr class="row"') == FILES
    acted = [n for n, s in enumerate(pile.sheets, 1) if s.exit_status]
    assert page.count('<article class="file"') == len(acted)
    assert all(f'id="file-{n}"' in page for n in acted[:50])
    assert page.count('<details class="call" open>') == 1
    assert "Whoever sent what could not be read" in page
    assert "for information</b>" not in page
    assert "are in the .xlsx" not in page
    text = as_text(pile)
    assert f"{FILES} files: " in text


def test_a_pile_just_small_enough_shows_all(sheet, kinds):
    """Up to a limit nothing is left out."""
    small, large = (as_html(pile_of(count, sheet, kinds)) for count in (LARGE, LARGE + 1))
    assert "for information</b>" in small
    assert "All other values against their limits" in small
    assert "So many files" not in small
    assert "So many files" in large
    assert "All other values against their limits" not in large


def test_a_file_with_very_many_findings_says_how_many_are_left_out(sheet, kinds):
    """None vanishes in silence."""
    pile = pile_of(LARGE + 1, sheet, kinds)
    flood = replace(pile.sheets[0], findings=pile.sheets[0].findings[:1] * 500)
    page = as_html(BatchReport(sheets=(flood, *pile.sheets[1:])))
    assert "440 more findings are in the .xlsx, .csv and .json reports" in page
