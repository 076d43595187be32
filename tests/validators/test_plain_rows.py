"""Rows read by a pattern are what the parser reads, and what the pattern does not know is left to it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.fuzz.members import packed, unpacked
from tests.fuzz.run import base_of, spoilt
from validators import returned
from validators.container import Limits
from validators.errors import UnreadableFile
from validators.plain_rows import NotPlain, cut_rows, read_rows
from validators.returned import read_returned

SHEET = "xl/worksheets/sheet9.xml"
HEAD = b'<?xml version="1.0" encoding="UTF-8"?>\n<worksheet xmlns="x">'


def both(monkeypatch, data, limits=None):
    """Return what is read of a file with the pattern and without it: a workbook, or a fault."""
    found = []
    for pattern in (cut_rows, lambda data: None):
        monkeypatch.setattr(returned, "cut_rows", pattern)
        try:
            found.append(read_returned(data, Path("a.xlsx"), limits))
        except UnreadableFile as fault:
            found.append((fault.code, fault.found))
    return found


def test_a_workbook_of_ours_is_read_by_the_pattern(monkeypatch):
    parts = unpacked(base_of(0).data)
    sheets = [data for name, data in parts.items() if name.startswith("xl/worksheets/sheet")]
    assert all(cut_rows(data) for data in sheets)
    assert all(sum(1 for _ in read_rows(cut_rows(data)[1])) > 10 for data in sheets)
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
        list(read_rows(rows))
