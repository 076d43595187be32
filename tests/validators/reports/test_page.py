"""The page: complete without a script, nothing to fetch, nothing of a stranger's comes alive."""

import html.parser
import re
from pathlib import Path
from urllib.parse import unquote

import pytest

from validators.findings import BatchReport, Severity
from validators.reports.as_html import as_html
from validators.reports.as_text import printable, shown_names

VOID = {"meta", "br", "input"}


class Outline(html.parser.HTMLParser):
    """The tags of a page with the names of their attributes, its links, its texts, and that all is closed."""

    def __init__(self, page):
        super().__init__()
        self.tags, self.links, self.ids, self.words, self.open = [], [], [], [], []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag, attributes):
        self.tags.append((tag, tuple(sorted(name for name, _ in attributes))))
        self.links += [value for name, value in attributes if name in ("href", "src", "xlink:href", "action")]
        self.ids += [value for name, value in attributes if name == "id"]
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attributes):
        self.handle_starttag(tag, attributes)
        self.open.pop()

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.words.append(data)

    def handle_comment(self, data):
        raise AssertionError(data)


def test_hostile_text_leaves_the_page_as_it_is(sheet, hostile):
    """Tags, attributes and links are the same whatever a file says; the text itself is shown."""
    def page(text):
        # two jobs and two files on any page, so that only words can differ
        sheets = (
                sheet(text, f"{text[:100]}.xlsx", who=text),
                sheet("b", "b.xlsx", who="b", severity=Severity.LOOK),
            )
        return as_html(BatchReport(sheets=sheets), Path())

    plain, told = Outline(page("plain")), Outline(page(hostile))
    assert told.tags == plain.tags
    assert told.links == plain.links
    assert not told.open
    assert printable(hostile)[:400].strip() in "".join(told.words)
    assert "alert(1)</script>" not in page(hostile).replace("&lt;/script&gt;", "")


def test_control_characters_never_reach_the_page(report, hostile):
    """Neither a terminal, a parser nor the direction of reading is steered."""
    page = as_html(report(hostile))
    assert all(c.isprintable() or c == "\n" for c in page)
    page.encode()


def test_nothing_is_fetched_and_no_script_is_needed(report):
    """No address but places on the page; one script, which the policy names by its digest."""
    page = as_html(report())
    outline = Outline(page)
    assert all(link.startswith("#") for link in outline.links)
    assert {link[1:] for link in outline.links} <= set(outline.ids)
    assert not re.search(r"url\(|@import|https?:", page)
    assert [tag for tag, _ in outline.tags].count("script") == 1
    assert not [names for _, names in outline.tags if any(n.startswith("on") or n == "style" for n in names)]
    assert "default-src 'none'; style-src 'sha256-" in html.unescape(page)
    assert [tag for tag, _ in outline.tags].count("form") == 1  # only the script shows it
    assert ("form", ("class", "hidden")) in outline.tags


def test_ids_are_told_once_and_every_finding_has_one(sheet, unread):
    """A call's line leads to its finding."""
    outline = Outline(as_html(BatchReport(sheets=(sheet(), unread(), sheet("J2", "c.xlsx")))))
    assert len(outline.ids) == len(set(outline.ids))
    assert {"file-1-1", "file-2-1", "file-3-1"} <= set(outline.ids)
    assert {link[1:] for link in outline.links} <= set(outline.ids)


@pytest.mark.parametrize(
    "name", ["plain.xlsx", "javascript:alert(1).xlsx", "a b#c?d%20'\"<x>.xlsx", "ünïcode.xlsx"]
)
def test_a_file_on_disk_is_linked_to_its_cell(tmp_path, sheet, name):
    """Relative, so that folder and report can be moved together; no name can be another kind of address."""
    (tmp_path / "in").mkdir()
    (tmp_path / "reports").mkdir()
    file = tmp_path / "in" / name
    file.write_bytes(b"")
    page = as_html(BatchReport(sheets=(sheet("Bob's bores", str(file)),)), tmp_path / "reports")
    links = [link for link in Outline(page).links if not link.startswith("#")]
    assert len(links) == 2  # the workbook, and its cell
    for link in links:
        assert link.startswith("./../in/")
        assert not set(link.partition("#")[0]) & set(':?"<> ')
        assert (tmp_path / "reports" / unquote(link.partition("#")[0])).samefile(file)
    assert unquote(links[1].partition("#")[2]) == "'Bob''s bores'!F14"


def test_what_is_gone_is_not_linked(sheet, tmp_path):
    """A member of an archive or a file that was moved is named, not linked."""
    page = as_html(BatchReport(sheets=(sheet("J", str(tmp_path / "mail.eml/a.xlsx")),)), tmp_path)
    assert all(link.startswith("#") for link in Outline(page).links)


def test_words_stand_beside_every_shape(sheet):
    """The verdict can be read without seeing a colour, in the text and on each mark."""
    page = as_html(BatchReport(sheets=(sheet(word="too close to call", value=0.0125),)))
    assert '<span class="word too-close-to-call">1 too close to call</span>' in page
    assert "Taper, plain: 0.0125 mm, too close to call</title>" in page


def test_shown_names_leave_out_what_all_share():
    """A file alone is told by its name."""
    assert shown_names(["/in/a.xlsx"]) == ["a.xlsx"]
    assert shown_names(["/in/a.xlsx", "/in/b/a.xlsx"]) == ["a.xlsx", "b/a.xlsx"]
    assert shown_names(["a.xlsx", "a.xlsx"]) == ["a.xlsx", "a.xlsx"]
    assert shown_names([]) == []
