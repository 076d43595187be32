"""Rows of a worksheet part that are written as spreadsheet programs write them, read by one pattern.

An XML parser makes an object of every element, and most of a returned workbook are cells. Where the rows hold
nothing but what the pattern knows, the pattern reads exactly what the parser would, several times faster.
Anything else, however harmless, is left to the parser: nothing is refused here.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

ROOT = re.compile(rb"<\?xml [^<>]*\?>\s*<worksheet[\s>]")
BEGIN, END, EMPTY = b"<sheetData>", b"</sheetData>", b"<sheetData/>"
CONTROLS = bytes(number for number in range(32) if number not in b"\t\n")
UNUSUAL = (b"]]>", b"\xef\xbf\xbe", b"\xef\xbf\xbf")
ENTITY = re.compile("&(?:(amp|lt|gt|quot|apos);)?")
ENTITIES = {"amp": "&", "lt": "<", "gt": ">", "quot": '"', "apos": "'"}
TOKEN = re.compile(
    r"""<c[ ]r="([A-Z]{1,3})([1-9][0-9]{0,6})"(?:[ ]s="([0-9]{1,9})")?(?:[ ]t="([A-Za-z]{1,9})")?
        [ ]?(?:/>|>(?:<f(?:[ ]aca="(?:false|true)")?>([^<]*)</f>)?
           (?:<v>([^<]*)</v>|(<v/>)|<is><t(?:[ ]xml:space="preserve")?>([^<]*)</t></is>)?</c>)
      |<row[ ]r="([1-9][0-9]{0,6})"((?:[ ][A-Za-z]+="[^"<&]*")*)(/?)>
      |(</row>)""",
    re.VERBOSE,
)
ATTRIBUTE = re.compile(r' ([A-Za-z]+)="([^"<&]*)"')


class NotPlain(Exception):
    """The rows hold something that only the parser may read."""


Told = tuple[str, str | None, str | None, str | None, str | None, str | None, str | None]
"""Row, column, format, kind, formula, content, inline text, as written; no column where a row begins, and the
format is then what the row gives to its blank cells."""


def cut_rows(data: bytes) -> tuple[bytes, str] | None:
    """Return a worksheet part without its rows, and the rows; None where only the parser may read it.

    Parameters
    ----------
    data : bytes
        The part: UTF-8 without a document type.
    """
    begin, end = data.find(BEGIN), data.rfind(END)
    if begin < 0 or end < begin or not ROOT.match(data):
        return None
    # Comments, marked sections, instructions, a second default namespace: markup could be hidden in them.
    if b"<!" in data or data.count(b"<?") != 1 or data.count(b"xmlns=") != 1 or data.count(b"sheetData") != 2:
        return None
    rows = data[begin + len(BEGIN):end]
    if len(rows.translate(None, CONTROLS)) != len(rows) or any(mark in rows for mark in UNUSUAL):
        return None
    return b"".join((data[:begin], EMPTY, data[end + len(END):])), rows.decode("utf-8")


def read_rows(rows: str) -> Iterator[Told]:
    """Yield every row and cell, in the order of the file.

    Raises
    ------
    NotPlain
        Something stands there that the pattern does not know; what was yielded before is to be forgotten.
    """
    position = 0
    inside = False
    for match in TOKEN.finditer(rows):
        if match.start() != position:
            raise NotPlain
        position = match.end()
        column, row, form, kind, formula, content, empty, inline, number, said, closed, end = match.groups()
        if column is not None:
            if not inside:
                raise NotPlain
            yield row, column, form or "0", kind, formula, "" if empty else content, inline
        elif number is not None:
            if inside:
                raise NotPlain
            yield number, None, _row_format(said), None, None, None, None
            inside = not closed
        elif inside and end:
            inside = False
        else:
            raise NotPlain
    if position != len(rows) or inside:
        raise NotPlain


@lru_cache(maxsize=4096)
def _row_format(said: str) -> str | None:
    pairs = ATTRIBUTE.findall(said)
    told = dict(pairs)
    if len(told) != len(pairs) or "r" in told or "xmlns" in told:
        raise NotPlain
    return told.get("s", "0") if told.get("customFormat") in {"1", "true", "on"} else None


def without_entities(text: str) -> str:
    """Return text with its entities written out.

    Raises
    ------
    NotPlain
        An entity is not one of the five that every document has.

    Examples
    --------
    >>> without_entities("a&lt;b &amp;amp; c")
    'a<b &amp; c'
    """
    return ENTITY.sub(_entity, text) if "&" in text else text


def _entity(match: re.Match[str]) -> str:
    if match[1] is None:
        raise NotPlain
    return ENTITIES[match[1]]
