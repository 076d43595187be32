"""Fills an issued workbook by text alone: cells are found once, and a copy is put together from strings."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Mapping
from typing import Any
from xml.sax.saxutils import escape

from sheetgen.fill import sheet_parts

CELL = re.compile(r'<c r="([A-Z]+[0-9]+)"([^>]*?)(?:/>|>(.*?)</c>)', re.DOTALL)
STYLE = re.compile(r' s="[0-9]+"')
FORMULA = re.compile(r"<f[ >].*?</f>|<f/>", re.DOTALL)


class SheetParts:
    """An issued workbook, cut at its cells.

    Parameters
    ----------
    data : bytes
        The workbook as it was issued.
    """

    def __init__(self, data: bytes) -> None:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            self.parts = {item.filename: archive.read(item) for item in archive.infolist()}
        self.part_of = sheet_parts(self.parts)
        self.pieces: dict[str, list[str]] = {}
        self.at: dict[tuple[str, str], int] = {}
        self.style: dict[tuple[str, str], str] = {}
        self.formula: dict[tuple[str, str], str] = {}
        for title, part in self.part_of.items():
            text = self.parts[part].decode("utf-8")
            pieces, behind = [], 0
            for match in CELL.finditer(text):
                place = title, match[1]
                pieces += [text[behind:match.start()], match[0]]
                self.at[place] = len(pieces) - 1
                style = STYLE.search(match[2])
                self.style[place] = style[0] if style else ""
                formula = FORMULA.search(match[3] or "")
                if formula:
                    self.formula[place] = formula[0]
                behind = match.end()
            self.pieces[title] = [*pieces, text[behind:]]

    def whole(self) -> bytes:
        """Return the workbook as it was issued."""
        return self.filled({}, {})

    def filled(
        self, entries: Mapping[tuple[str, str], Any], stored: Mapping[tuple[str, str], Any]
    ) -> bytes:
        """Return a copy with values typed into cells, and values stored in its formula cells."""
        pieces = {title: list(pieces) for title, pieces in self.pieces.items()}
        for place, value in entries.items():
            pieces[place[0]][self.at[place]] = _cell(place[1], self.style[place], "", value)
        for place, value in stored.items():
            pieces[place[0]][self.at[place]] = _cell(
                place[1], self.style[place], self.formula[place], value
            )
        parts = dict(self.parts)
        for title, texts in pieces.items():
            parts[self.part_of[title]] = "".join(texts).encode("utf-8")
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as archive:
            for name, content in parts.items():
                archive.writestr(zipfile.ZipInfo(name), content)
        return out.getvalue()


def _cell(address: str, style: str, formula: str, value: Any) -> str:
    if value is None or (value == "" and not formula):
        return f'<c r="{address}"{style}>{formula}</c>'
    if isinstance(value, bool):
        return f'<c r="{address}"{style} t="b">{formula}<v>{int(value)}</v></c>'
    if isinstance(value, int | float):
        return f'<c r="{address}"{style}>{formula}<v>{float(value)!r}</v></c>'
    if formula:
        return f'<c r="{address}"{style} t="str">{formula}<v>{escape(str(value))}</v></c>'
    text = f'<t xml:space="preserve">{escape(value)}</t>'
    return f'<c r="{address}"{style} t="inlineStr"><is>{text}</is></c>'
