"""A big pile makes a page that still opens, and says what it leaves out."""

import html
import re
from collections import Counter
from dataclasses import replace
from urllib.parse import unquote

import pytest

from sheetgen.errors import DefinitionError
from tests.validators.reports.conftest import invented_sheet
from validators.findings import BatchReport, Finding, Place, Severity, Status
from validators.reports.as_html import FIRST, LARGE, as_html, naming_of, part_as_html
from validators.reports.as_text import as_text
from validators.reports.calls import calls_of
from validators.reports.kinds import MOST_IN_FULL, PER_PAGE
from validators.reports.parts import parts_of
from validators.reports.write import refuse_unfit, write_report

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


@pytest.fixture(scope="module")
def written(tmp_path_factory, kinds):
    """Return the folder in which the report on a very large pile was written, and the pile."""
    folder = tmp_path_factory.mktemp("reports")
    pile = pile_of(FILES, invented_sheet, kinds)
    write_report(pile, folder / "monday.html")
    return folder, pile


def links(folder, page):
    """Yield where the links of a page lead: the file, and the place in it."""
    for href in re.findall(r'href="([^"]*)"', (folder / page).read_text("utf-8")):
        path, _, anchor = unquote(html.unescape(href)).partition("#")
        yield ((folder / page).parent / path if path else folder / page).resolve(), anchor


def test_two_thousand_sheets_make_pages_that_open(written):
    """The whole first; each file once, on a page of its own with others, none of them large."""
    folder, pile = written
    assert {path.name for path in folder.iterdir()} == {"monday.html", "monday-pages"}
    pages = sorted((folder / "monday-pages").iterdir())
    assert len(pages) == FILES / PER_PAGE
    texts = [path.read_text("utf-8") for path in pages]
    assert max(len(text.encode()) for text in texts) < 3e6
    acted = {n for n, sheet in enumerate(pile.sheets, 1) if sheet.exit_status}
    told = [int(n) for text in texts for n in re.findall(r'<article class="file" id="file-(\d+)"', text)]
    assert sorted(told) == sorted(acted)
    assert sum(text.count('<tr class="row"') for text in texts) == FILES
    assert not any("for information</b>" in text for text in texts)
    main = (folder / "monday.html").read_text("utf-8")
    assert len(main.encode()) < 1e6
    assert '<article class="file"' not in main
    assert "Whoever sent what could not be read" in main
    assert main.count('<details class="call" open>') == 1


def test_the_whole_is_told_with_totals_for_each_finding_and_each_shop(written):
    """As counted by hand from the pile."""
    folder, pile = written
    main = (folder / "monday.html").read_text("utf-8")
    statuses = Counter(sheet.exit_status for sheet in pile.sheets)
    assert f"<b>{statuses[1]}</b> to act on, <b>{statuses[2]}</b> could not be read" in main
    blocking = [sum(f.severity is Severity.BLOCKS for f in sheet.findings) for sheet in pile.sheets]
    row = next(row for row in main.split("<tr>") if "<b>READ02</b>" in row and "blocks assembly" in row)
    assert f"<td>{sum(blocking)}</td><td>{sum(map(bool, blocking))}</td>" in row
    shop = [n for n, sheet in enumerate(pile.sheets) if sheet.measured_by == "shop 5" and sheet.exit_status]
    (call,) = (call for call in main.split("<details ") if ">shop 5</b>" in call)
    assert f"{len(shop)} files" in call
    assert f"<b>{sum(blocking[n] for n in shop)}</b> block assembly" in call
    assert f"and {len(shop) - FIRST.lines} more files, on" in call
    out = sum(verdict.word == "over" for sheet in pile.sheets for verdict in sheet.verdicts)
    assert f'<span class="word over">{out} over</span>' in main
    bars = re.findall(r"<title>(\d+) outside</title>", main)
    assert sum(map(int, bars)) == out


def test_every_link_between_the_pages_leads_somewhere(written):
    """To a file that is there, and to a place in it."""
    folder, _ = written
    ids = {
        path.resolve(): set(re.findall(r'id="([^"]+)"', path.read_text("utf-8")))
        for path in folder.rglob("*.html")
    }
    for page in ("monday.html", "monday-pages/page-0001.html", "monday-pages/page-0020.html"):
        found = list(links(folder, page))
        assert found
        lost = [(path, at) for path, at in found if path not in ids or at not in {"", *ids[path]}]
        assert not lost


def test_a_page_of_files_keeps_the_policy(written):
    """Nothing to fetch, no script but its own, nothing inline."""
    folder, _ = written
    text = (folder / "monday-pages" / "page-0001.html").read_text("utf-8")
    assert "default-src 'none'; style-src 'sha256-" in html.unescape(text)
    assert text.count("<script>") == 1
    assert not re.search(r"url\(|@import|https?:| on[a-z]+=| style=", text.replace("aria-", ""))


def test_pages_take_the_place_of_earlier_ones_and_of_nothing_else(tmp_path, sheet, kinds):
    """A smaller pile leaves none behind; a folder with something else in it is a refusal before any work."""
    path, pages = tmp_path / "monday.html", tmp_path / "monday-pages"
    pile = pile_of(MOST_IN_FULL + 1, sheet, kinds[:2])
    for _ in range(2):
        write_report(pile, path)
        assert len(list(pages.iterdir())) == 5
    write_report(BatchReport(sheets=pile.sheets[:3]), path)
    assert [p.name for p in tmp_path.iterdir()] == ["monday.html"]
    pages.mkdir()
    (pages / "letter.html").write_text("mine")
    before = path.read_bytes()
    for refused in (lambda: refuse_unfit(path, []), lambda: write_report(pile, path)):
        with pytest.raises(DefinitionError, match="something else lies"):
            refused()
    assert path.read_bytes() == before
    assert (pages / "letter.html").read_text() == "mine"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["monday-pages", "monday.html"]


def test_hostile_names_stay_text_on_every_page(tmp_path, sheet, hostile):
    """What a file says has no other tags or links on a page of files than what any file says."""
    def tags(text):
        plain = sheet("b", "b.xlsx", who="b")
        pile = BatchReport(sheets=(sheet(text, f"{text[:80]}.xlsx", who=text), *[plain] * MOST_IN_FULL))
        calls = calls_of(pile)
        parts = parts_of(pile, calls, "p")
        whole = as_html(pile, calls=calls, parts=parts)
        place = next(part for part in parts if 1 in part.numbers)
        shown = part_as_html(pile, replace(place, numbers=(1,)), None, "up.html", naming_of(pile))
        return [re.findall(r"<[^>]*>", page.partition("</head>")[2]) for page in (whole, shown)]

    def bare(found):
        return [[re.sub(r'(href|id|data-file)="[^"]*"', r"\1", tag) for tag in page] for page in found]

    assert bare(tags(hostile)) == bare(tags("plain"))


def test_the_text_of_a_very_large_pile_has_a_line_for_each_file(sheet, kinds):
    """Totals, what was found and whom to call; everything with --all."""
    pile = pile_of(MOST_IN_FULL + 1, sheet, kinds[:2])
    text = as_text(pile)
    assert f"{MOST_IN_FULL + 1} files: " in text
    assert "READ02 reading-is-text [blocks assembly]   " in text
    acted = sum(sheet.exit_status > 0 for sheet in pile.sheets)
    assert sum(line.startswith("in/") for line in text.splitlines()) == acted
    assert "retype" not in text
    assert as_text(pile, all_findings=True).count("READ02 reading-is-text") > acted


def test_what_came_with_a_very_large_pile_has_a_line_each(sheet, kinds):
    """With all that is said of it only where everything is asked for."""
    came = tuple(
        Finding(
            code="PILE01", name="passed-over", severity=Severity.LOOK, place=Place(file=f"in/{n}.xls"),
            found="an older format", expected="a workbook", todo="Save it anew.",
        )
        for n in range(3)
    )
    pile = replace(pile_of(MOST_IN_FULL + 1, sheet, kinds[:2]), findings=came)
    text = as_text(pile)
    assert "  PILE01 passed-over [needs a look]   in/1.xls\n" in text
    assert "Save it anew." not in text
    assert as_text(pile, all_findings=True).count("Save it anew.") == 3


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
