"""Rows of a worksheet part that are written as spreadsheet programs write them, read by one pattern.

An XML parser makes an object of every element, and most of a returned workbook are cells. Where the rows hold
nothing but what the pattern knows, the pattern reads exactly what the parser would, several times faster.
Anything else, however harmless, is left to the parser: nothing is refused here.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

UNUSUAL = bytes(number for number in range(32) if number not in b"\t\n") + b"\xef"
"""Bytes that hold, or may begin, a character that only the parser may judge."""

ENTITY = re.compile("&(?:(amp|lt|gt|quot|apos);)?")
ENTITIES = {"amp": "&", "lt": "<", "gt": ">", "quot": '"', "apos": "'"}
ROW = re.compile(r'<row r="([1-9][0-9]{0,6})"((?: [A-Za-z]+="[^"<&]*")*)(/?)>')
CELL = re.compile(
    r"""(<c[ ]r="([A-Z]{1,3})([1-9][0-9]{0,6})"(?:[ ]s="([0-9]{1,9})")?(?:[ ]t="([A-Za-z]{1,9})")?
        [ ]?(?:/>|>(?:<f(?:[ ]aca="(?:false|true)")?(>[^<]*)</f>)?
           (?:<v(>[^<]*)</v>|(<v/>)|<is><t(?:[ ]xml:space="preserve")?(>[^<]*)</t></is>)?</c>))""",
    re.VERBOSE,
)
ATTRIBUTE = re.compile(r' ([A-Za-z]+)="([^"<&]*)"')


class NotPlain(Exception):
    """The rows hold something that only the parser may read."""


Told = tuple[str, str, str, str, str, str, str, str, str]
"""All of a cell as written; then column, row, format, kind, formula, content, empty content and inline text.
Formula, content and inline text begin with a mark; what is not written is ""."""


def cut_out(data: bytes, root: str, word: str) -> tuple[bytes, bytes] | None:
    """Return a part without what stands in one of its elements, and that; None where only the parser may.

    Whether the element is a child of the root is for the caller to see: it is left, and empty.

    Parameters
    ----------
    data : bytes
        The part: UTF-8 without a document type.
    root, word : str
        The root and the element, both without a prefix, the element without attributes.
    """
    mark = word.encode()
    begin, end = data.find(b"<%b>" % mark), data.rfind(b"</%b>" % mark)
    if begin < 0 or end < begin or not re.match(rb"<\?xml [^<>]*\?>\s*<%b[\s>]" % root.encode(), data):
        return None
    inner = data[begin + len(mark) + 2:end]
    head, tail = data[:begin], data[end + len(mark) + 3:]
    # Comments, marked sections, instructions, a second default namespace: markup could be hidden in them.
    if b"<!" in head or b"<!" in tail or head.count(b"<?") != 1 or b"<?" in tail:
        return None
    if head.count(b"xmlns=") != 1 or b"xmlns=" in tail or mark in head or mark in tail:
        return None
    if len(inner.translate(None, UNUSUAL)) != len(inner) and not _is_usual(inner):
        return None
    if b"]" in inner and b"]]>" in inner:
        return None
    return b"".join((head, b"<%b/>" % mark, tail)), inner


def _is_usual(inner: bytes) -> bool:
    controls = UNUSUAL[:-1]
    return len(inner.translate(None, controls)) == len(inner) and not (
        b"\xef\xbf\xbe" in inner or b"\xef\xbf\xbf" in inner
    )


def cut_rows(data: bytes) -> tuple[bytes, str] | None:
    """Return a worksheet part without its rows, and the rows; None where only the parser may read it.

    Parameters
    ----------
    data : bytes
        The part: UTF-8 without a document type.
    """
    cut = cut_out(data, "worksheet", "sheetData")
    return None if cut is None else (cut[0], cut[1].decode("utf-8"))


def read_rows(rows: str) -> Iterator[tuple[str, str | None, str]]:
    """Yield every row in the order of the file: its number, the format of its blank cells if any, its cells.

    Raises
    ------
    NotPlain
        Something stands there that the pattern does not know; what was yielded before is to be forgotten.
    """
    *pieces, last = rows.split("</row>")
    for piece in pieces:
        match = ROW.match(piece)
        while match is not None and match[3]:
            yield match[1], _row_format(match[2]), ""
            match = ROW.match(piece, match.end())
        if match is None:
            raise NotPlain
        yield match[1], _row_format(match[2]), piece[match.end():]
    position = 0
    while position < len(last):
        match = ROW.match(last, position)
        if match is None or not match[3]:
            raise NotPlain
        yield match[1], _row_format(match[2]), ""
        position = match.end()


def read_cells(cells: str) -> list[Told]:
    """Return the cells of a row, in the order of the file.

    Raises
    ------
    NotPlain
        Something stands there that the pattern does not know.
    """
    found: list[Told] = CELL.findall(cells)
    if sum([len(told[0]) for told in found]) != len(cells):
        raise NotPlain
    return found


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
