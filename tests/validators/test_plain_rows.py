"""Rows read by a pattern are what the parser reads, and what the pattern does not know is left to it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.fuzz.members import packed, unpacked
from tests.fuzz.run import base_of, spoilt
from validators import returned
from validators.container import Limits
from validators.errors import UnreadableFile
from validators.plain_rows import NotPlain, cut_out, cut_rows, read_cells, read_rows
from validators.returned import read_returned

SHEET = "xl/worksheets/sheet9.xml"
HEAD = b'<?xml version="1.0" encoding="UTF-8"?>\n<worksheet xmlns="x">'


def both(monkeypatch, data, limits=None):
    """Return what is read of a file with the pattern and without it: a workbook, or a fault."""
    found = []
    for cut_by_pattern in (True, True, False):  # the second time with all that is known from the first
        monkeypatch.setattr(returned, "cut_rows", cut_rows if cut_by_pattern else lambda data: None)
        monkeypatch.setattr(returned, "cut_out", cut_out if cut_by_pattern else lambda *of: None)
        try:
            found.append(read_returned(data, Path("a.xlsx"), limits))
        except UnreadableFile as fault:
            found.append((fault.code, fault.found))
    assert found[0] == found[1]
    return found[1:]


def test_a_workbook_of_ours_is_read_by_the_pattern(monkeypatch):
    parts = unpacked(base_of(0).data)
    sheets = [data for name, data in parts.items() if name.startswith("xl/worksheets/sheet")]
    assert all(cut_rows(data) for data in sheets)
    assert all(
        sum(len(read_cells(cells)) for *_, cells in read_rows(cut_rows(data)[1])) > 10 for data in sheets
    )
    one, other = both(monkeypatch, base_of(0).data)
    assert one == other
    assert sum(len(sheet.cells) for sheet in one.sheets) > 5000


@pytest.mark.parametrize("level", ["structure", "cells"])
def test_spoilt_workbooks_are_read_alike(monkeypatch, level):
    for seed in range(12):
        one, other = both(monkeypatch, spoilt(seed, level))
        assert one == other, seed


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b"<sheetData>", b"<sheetData><!-- a -->"), (b"<v>", b"<v> "), (b"<v>", b"<v>&amp;"),
        (b"<v>", b"<v>&#49;"), (b"<v>", b"<v>&lol;"), (b"<v>", b"<v>]]>"), (b"<v>", b"<v>\x01"),
        (b"<v>", b"<v>\xef\xbf\xbf"), (b"<v>", b"<v>\r\n"), (b"<v>", b"<v><![CDATA[1]]>"), (b"<f>", b"<f>="),
        (b"<f>", b"<f t='array' ref='A1'>"), (b"<f>", b'<f aca="false">'), (b"<f>", b"<f>[1]S!A1+"),
        (b"<c ", b'<c xmlns="urn:x" '), (b"<c ", b'<c cm="1" '), (b"<row ", b'<row r="1" '),
        (b"<row ", b'<row s="3" customFormat="1" '), (b"<row ", b'<row x14ac:dyDescent="1" '),
        (b"</row>", b"<x/></row>"), (b"</row>", b""), (b"</sheetData>", b"text</sheetData>"),
        (b"</sheetData>", b"</sheetData><sheetData/>"),
        (b"</sheetData>", b"</sheetData><sheetData></sheetData>"),
        (b"<sheetData>", b"<x><sheetData>"), (b"<worksheet ", b"<?x y?><worksheet "),
        (b"<worksheet ", b"<w:worksheet "), (b' r="A', b' r="ZZZ'), (b' r="A', b' r="a'),
        (b' r="B', b' r="A'),
        (b' s="', b' s="9999'), (b"<v>", b"<v>" + b"9" * 500), (b' t="s"', b' t="inlineStr"'),
    ],
)
def test_whatever_stands_in_the_rows_is_read_alike(monkeypatch, old, new):
    """Each in one place of one sheet, and in all places of it."""
    parts = unpacked(base_of(0).data)
    assert old in parts[SHEET]
    for count in (1, -1):
        one, other = both(monkeypatch, packed({**parts, SHEET: parts[SHEET].replace(old, new, count)}))
        assert one == other


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b"<definedName ", b"<!-- a --><definedName "), (b"<definedName ", b'<definedName hidden="1" '),
        (b"<definedName ", b'<definedName localSheetId="0" '),
        (b"<definedName ", b'<definedName function="1" '),
        (b"<definedName ", b'<definedName r:x="1" '), (b"<definedName ", b'<definedName q:x="1" '),
        (b"<definedName ", b"<x/><definedName "), (b"</definedName>", b"&lol;</definedName>"),
        (b"</definedName>", b"&amp;[1]A!B</definedName>"), (b"</definedName>", b"]]></definedName>"),
        (b"</definedName>", b"\x02</definedName>"), (b"</definedName>", b""), (b"name=", b"nam="),
        (b"<definedNames>", b"<definedNames/><definedNames>"),
        (b"<definedNames>", b"<extLst><definedNames>"), (b"<definedNames>", b'<definedNames x="1">'),
        (b"</definedNames>", b"</definedNames><definedNames></definedNames>"),
        (b"<sheets>", b"<sheets><definedNames/>"), (b"<workbook ", b'<workbook date1904="1" '),
        (b"<workbook ", b"<x:workbook "), (b"</workbook>", b""),
    ],
)
def test_whatever_stands_in_the_names_is_read_alike(monkeypatch, old, new):
    part = "xl/workbook.xml"
    parts = unpacked(base_of(0).data)
    assert old in parts[part]
    for count in (1, -1):
        one, other = both(monkeypatch, packed({**parts, part: parts[part].replace(old, new, count)}))
        assert one == other


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b"<oddFooter>", b"<oddFooter>&#1;"), (b"<oddFooter>", b"<oddFooter>&lol;"),
        (b"<oddFooter>", b"<oddFooter>]]>"), (b"<oddFooter>", b"<oddFooter>\xc3\xa4"),
        (b"<oddFooter>", b"<oddFooter><c r='A1'/>"), (b"<oddFooter>", b"<oddFooter>another"),
        (b"<sheetProtection ", b'<sheetProtection password="1" '), (b' sheet="1"', b' sheet="0"'),
        (b"<mergeCell ", b'<mergeCell ref="A1:B2"/><mergeCell '), (b"<cols>", b"<cols/><cols>"),
        (b"</worksheet>", b"<row r='9'/></worksheet>"), (b"</worksheet>", b"</worksheet>x"),
    ],
)
def test_whatever_stands_around_the_rows_is_read_alike(monkeypatch, old, new):
    parts = unpacked(base_of(0).data)
    assert old in parts[SHEET]
    both(monkeypatch, packed(parts))
    one, other = both(monkeypatch, packed({**parts, SHEET: parts[SHEET].replace(old, new, 1)}))
    assert one == other


def test_a_row_that_is_known_is_read_with_the_texts_of_its_own_workbook(monkeypatch):
    parts = unpacked(base_of(0).data)
    both(monkeypatch, packed(parts))
    table = "xl/sharedStrings.xml"
    item = re.compile(rb"<si><t[^>]*>[^<]*</t></si>")
    for text in (b"<si><t>another</t></si>", b""):
        changed = item.sub(text, parts[table], count=40)
        one, other = both(monkeypatch, packed({**parts, table: changed}))
        assert one == other
    changed = parts[table][:parts[table].index(b"<si>")] + b"</sst>"
    one, other = both(monkeypatch, packed({**parts, table: changed}))
    assert one == other


def test_a_cell_that_is_known_is_read_with_the_formats_of_its_own_workbook(monkeypatch):
    parts = unpacked(base_of(0).data)
    both(monkeypatch, packed(parts))
    styles = "xl/styles.xml"
    for old, new in ((b'locked="0"', b'locked="1"'), (b'formatCode="', b'formatCode="0'), (b"<xf ", b"<x ")):
        assert old in parts[styles]
        one, other = both(monkeypatch, packed({**parts, styles: parts[styles].replace(old, new)}))
        assert one == other


@pytest.mark.parametrize("limits", [Limits(cells=3000), Limits(last_row=20), Limits(last_column=3),
                                    Limits(formula_characters=30), Limits(text_characters=5)])
def test_limits_hold_alike(monkeypatch, limits):
    one, other = both(monkeypatch, base_of(0).data, limits)
    assert one == other
    assert one[0] == "FILE05"


@pytest.mark.parametrize("data", [
    b"", HEAD, HEAD + b"<sheetData>", HEAD + b"<sheetData/></worksheet>",
    HEAD + b"<x xmlns='y'/><sheetData></sheetData></worksheet>",
    HEAD + b"<!--<sheetData>--><sheetData></sheetData></worksheet>",
    HEAD + b"<sheetData></sheetData><?x?></worksheet>",
    HEAD.replace(b"<worksheet", b"<y:worksheet") + b"<sheetData></sheetData></y:worksheet>",
])
def test_parts_that_are_left_to_the_parser(data):
    assert cut_rows(data) is None


@pytest.mark.parametrize("rows", [
    " ", "<row r=\"1\">", "</row>", "<c r=\"A1\"/>", "<row r=\"1\"><row r=\"2\"></row></row>",
    "<row r=\"1\"><c r=\"A1\"></row>", "<row r=\"1\"/></row>", "<row r=\"1\" a=\"1\" a=\"2\"></row>",
    "<row r=\"1\"></row>x", "<row r=\"01\"></row>",
])
def test_rows_that_are_left_to_the_parser(rows):
    with pytest.raises(NotPlain):
        _ = [read_cells(cells) for *_, cells in read_rows(rows)]
