"""The formats of an OpenDocument spreadsheet: locks, number formats, hidden sheets."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from lxml import etree

from validators.returned_sheet import CellFormat

URN = "urn:oasis:names:tc:opendocument:xmlns"
STYLE = f"{{{URN}:style:1.0}}"
NUMBER = f"{{{URN}:datastyle:1.0}}"
TABLE = f"{{{URN}:table:1.0}}"
LOCKED = frozenset({"protected", "hidden-and-protected"})
MOST_DECIMALS, LONGEST_PLACES = 30, 9
DATE_PARTS = {
    "year": "yyyy", "month": "mm", "day": "dd", "hours": "hh", "minutes": "mm", "seconds": "ss",
    "am-pm": "AM/PM",
}


@dataclass(frozen=True, slots=True)
class _Style:
    parent: str
    locked: bool | None
    data_style: str


@dataclass(slots=True)
class Styles:
    """Formats of cells by the name of their style, and the styles of hidden sheets."""

    hidden: set[str] = field(default_factory=set)
    _cells: dict[str, _Style] = field(default_factory=dict)
    _codes: dict[str, str] = field(default_factory=dict)
    _known: dict[str, CellFormat] = field(default_factory=dict)

    def read(self, root: etree._Element) -> None:
        """Take up the styles of a part; the later part counts where a name stands twice."""
        for element in root.iter(*(f"{NUMBER}{kind}-style" for kind in KINDS)):
            kind = etree.QName(element).localname.removesuffix("-style")
            self._codes[element.get(f"{STYLE}name", "")] = KINDS[kind](element)
        for element in root.iter(f"{STYLE}style", f"{STYLE}default-style"):
            name, family = element.get(f"{STYLE}name", ""), element.get(f"{STYLE}family")
            if family == "table-cell":
                said = element.find(f"{STYLE}table-cell-properties")
                words = None if said is None else said.get(f"{STYLE}cell-protect")
                self._cells[name] = _Style(
                    parent=element.get(f"{STYLE}parent-style-name", ""),
                    locked=None if words is None else bool(LOCKED & set(words.split())),
                    data_style=element.get(f"{STYLE}data-style-name", ""),
                )
            elif family == "table":
                said = element.find(f"{STYLE}table-properties")
                if said is not None and said.get(f"{TABLE}display") == "false":
                    self.hidden.add(name)
        self._known.clear()

    def format(self, name: str) -> CellFormat:
        """Return the format behind a style: its own, or that of the style it follows."""
        if name not in self._known:
            locked: bool | None = None
            code = ""
            for style in self._line(name):
                locked = style.locked if locked is None else locked
                code = code or self._codes.get(style.data_style, "")
            self._known[name] = CellFormat(locked is not False, code or "General")
        return self._known[name]

    def _line(self, name: str) -> Iterable[_Style]:
        seen: set[str] = set()
        while name in self._cells and name not in seen:
            seen.add(name)
            yield self._cells[name]
            name = self._cells[name].parent
        if "" in self._cells and "" not in seen:
            yield self._cells[""]


def _number(element: etree._Element) -> str:
    figure = element.find(f"{NUMBER}number")
    if figure is None:
        return "General"
    places = figure.get(f"{NUMBER}decimal-places", "")[:LONGEST_PLACES]
    if not places.isdecimal():
        return "General"
    return "0." + "0" * min(int(places), MOST_DECIMALS) if int(places) else "0"


def _percentage(element: etree._Element) -> str:
    return f"{_number(element).replace('General', '0')}%"


def _moment(element: etree._Element) -> str:
    words = (DATE_PARTS.get(etree.QName(part).localname, "") for part in element)
    return "-".join(word for word in words if word) or "yyyy-mm-dd"


def _general(_: etree._Element) -> str:
    return "General"


def _text(_: etree._Element) -> str:
    return "@"


KINDS = {
    "number": _number,
    "currency": _number,
    "percentage": _percentage,
    "date": _moment,
    "time": _moment,
    "boolean": _general,
    "text": _text,
}
