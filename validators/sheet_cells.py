"""The cells of one worksheet part: where they stand, what they hold, whether they are locked."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import NamedTuple

from lxml import etree
from openpyxl.utils import get_column_letter
from openpyxl.utils.datetime import WINDOWS_EPOCH, from_ISO8601, to_excel

from validators.container import Limits, Used
from validators.errors import UnreadableFile, quoted
from validators.file_kinds import TAKE_OUT, unsafe
from validators.formula_text import FormulaReader, reach_outside
from validators.plain_rows import NotPlain, Told, read_cells, read_rows, without_entities
from validators.returned_sheet import ADDRESS, COLUMNS, CellFormat, Frame, Kind, ReturnedCell
from validators.shared_parts import is_true, plain_text, too_long, unescaped

NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?(?:[eE][+-]?[0-9]+)?")
LONGEST_NUMBER = 400
INDEX = re.compile(r"[0-9]{1,9}")
ROW_NUMBER = re.compile(r"[1-9][0-9]{0,6}")
MOST_KNOWN, LONGEST_KNOWN = 40_000, 600
MOST_ROWS, LONGEST_ROW = 10_000, 6_000
MOST_FRAMES, LONGEST_FRAME = 100, 500_000
TRUTH = {"0": False, "1": True}
ARRAYS = frozenset({"array", "dataTable"})

TABLED = frozenset({"s", "d"})
"""Kinds whose value depends on more of the workbook than its formats: its texts, where its days begin."""

Typed = tuple[float | str | bool | None, Kind, str | None]


class KnownRow(NamedTuple):
    """A row that was read before: its number, its cells, and the shared texts that they stand for."""

    number: str
    cells: dict[str, ReturnedCell]
    texts: tuple[tuple[int, Sequence[str]], ...]
    """Places in the table of texts, and the part of the table that holds what stood there."""


@dataclass(frozen=True, slots=True)
class Known:
    """Plain cells, formulas and frames of sheets that were read before, by their text as written.

    It holds what follows from the text, the formats and the limits alone, whatever file that was in, and only
    so much of it.
    """

    cells: dict[str, ReturnedCell] = field(default_factory=dict)
    rows: dict[str, KnownRow] = field(default_factory=dict)
    formulas: dict[str, str] = field(default_factory=dict)
    frames: dict[tuple[str, bytes], tuple[Frame, str]] = field(default_factory=dict)
    """With their namespace, by title and part without rows."""

    def remember_cell(self, text: str, cell: ReturnedCell) -> None:
        """Keep a cell for the workbooks to come."""
        if len(text) <= LONGEST_KNOWN:
            if len(self.cells) >= MOST_KNOWN:
                self.cells.clear()
            self.cells[text] = cell

    def remember_row(self, text: str, row: KnownRow) -> None:
        """Keep a row for the workbooks to come."""
        if len(text) <= LONGEST_ROW:
            if len(self.rows) >= MOST_ROWS:
                self.rows.clear()
            self.rows[text] = row

    def remember_formula(self, text: str, formula: str) -> None:
        """Keep a formula that reaches nowhere."""
        if len(text) <= LONGEST_KNOWN:
            if len(self.formulas) >= MOST_KNOWN:
                self.formulas.clear()
            self.formulas[text] = formula

    def remember_frame(self, key: tuple[str, bytes], frame: tuple[Frame, str]) -> None:
        """Keep what a part says around its rows."""
        if len(key[1]) <= LONGEST_FRAME:
            if len(self.frames) >= MOST_FRAMES:
                self.frames.clear()
            self.frames[key] = frame


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedTables:
    """What all sheets of a workbook refer to, and what they have used up of its limits."""

    texts: Sequence[str]
    formats: Mapping[str, CellFormat]
    limits: Limits
    epoch: datetime = WINDOWS_EPOCH
    used: Used = field(default_factory=Used)
    plain: dict[tuple[str, str | None, str | None], ReturnedCell] = field(default_factory=dict)
    """Cells without a formula that were read already, by format, kind and content: many are alike."""

    known: Known = field(default_factory=Known)
    """What was read before of workbooks with the same formats and limits."""

    def format(self, number: str, title: str, place: str) -> CellFormat:
        """Return a format by its number.

        Raises
        ------
        UnreadableFile
            FILE05 when the workbook does not have it.
        """
        try:
            return self.formats[number]
        except KeyError:
            raise unsafe(f"a format that does not exist, {quoted(title)} {place}") from None


class CellReader:
    """Reads the cells of one sheet.

    Parameters
    ----------
    title : str
        The sheet's, for messages.
    namespace : str
        Prefix of the part's elements, as in ``{...}``.
    tables : SharedTables
        Texts, formats and limits of the workbook.

    Attributes
    ----------
    cells : dict of str to ReturnedCell
        By address, in the order of the file.
    row_formats : dict of int to CellFormat
        Formats of rows that have one of their own.
    """

    __slots__ = (
        "_formula_tag",
        "_formulas",
        "_inline_tag",
        "_namespace",
        "_tables",
        "_title",
        "_value_tag",
        "cells",
        "row_formats",
    )

    def __init__(self, title: str, namespace: str, tables: SharedTables) -> None:
        self.cells: dict[str, ReturnedCell] = {}
        self.row_formats: dict[int, CellFormat] = {}
        self._title = title
        self._namespace = namespace
        self._tables = tables
        self._formulas = FormulaReader(title, tables.limits, tables.used)
        self._value_tag = f"{namespace}v"
        self._formula_tag = f"{namespace}f"
        self._inline_tag = f"{namespace}is"

    def read(self, rows: Iterable[etree._Element]) -> None:
        """Read the rows of the sheet.

        Raises
        ------
        UnreadableFile
            FILE04 when a formula reaches out of the workbook; FILE05 when a cell stands twice, in
            an unusual place or far outside, or when there are too many; when rows or cells are not in
            order, of which some programs drop the late ones.
        """
        row_tag = f"{self._namespace}row"
        limits, used = self._tables.limits, self._tables.used
        number = 0
        for row in rows:
            text = row.get("r", str(number + 1))
            if row.tag != row_tag or not ROW_NUMBER.fullmatch(text):
                raise unsafe(f"a row without a proper number in sheet {quoted(self._title)}")
            before, number = number, int(text)
            if number <= before:
                raise unsafe(f"rows that are not in order, {before} and {text} of {quoted(self._title)}")
            used.cells += len(row)
            if used.cells > limits.cells:
                raise unsafe("far too many cells", f"at most {limits.cells} cells", TAKE_OUT)
            if is_true(row.get("customFormat")):
                form = self._tables.format(row.get("s", "0"), self._title, f"row {text}")
                self.row_formats[number] = form
            self._read_row(row, number, text)

    def read_plain(self, rows: str) -> bool:
        """Read rows that are written plainly; False, with nothing read, where only the parser may."""
        used, limits, known = self._tables.used, self._tables.limits, self._tables.known.rows
        cells, texts, before = self.cells, self._tables.texts, used.cells
        last = 0
        try:
            for number, form, text in read_rows(rows):
                if int(number) <= last:
                    raise NotPlain
                last = int(number)
                if form is not None:
                    self.row_formats[int(number)] = self._tables.format(form, self._title, f"row {number}")
                row = known.get(text)
                if row is None or any(texts[at:at + 1] != wanted for at, wanted in row.texts):
                    row = self._plain_row(number, text)
                if row.cells and row.number != number:
                    raise NotPlain
                used.cells += len(row.cells)
                cells.update(row.cells)
                if len(cells) != used.cells - before:
                    raise NotPlain  # a cell stands twice
            if used.cells > limits.cells:
                raise NotPlain
        except (NotPlain, UnreadableFile):
            cells.clear()
            self.row_formats.clear()
            used.cells = before
            return False
        return True

    def _plain_row(self, number: str, text: str) -> KnownRow:
        known, limits, texts = self._tables.known, self._tables.limits, self._tables.texts
        last_column = limits.last_column if int(number) <= limits.last_row else 0
        cells: dict[str, ReturnedCell] = {}
        wanted: list[tuple[int, Sequence[str]]] = []
        depends = False
        before = 0
        for told in read_cells(text):
            whole, column, row, _, kind, _, content, *_ = told
            at = COLUMNS.get(column, last_column + 1)
            if row != number or not before < at <= last_column:
                raise NotPlain
            before = at
            cell = known.cells.get(whole)
            if cell is None:
                cell = self._plain(told)
                if kind not in TABLED:
                    known.remember_cell(whole, cell)
            cells[column + row] = cell
            if kind == "s" and INDEX.fullmatch(content[1:]):
                shared = int(content[1:])
                wanted.append((shared, texts[shared:shared + 1]))
            depends = depends or kind == "d"
        found = KnownRow(number, cells, tuple(wanted))
        if not depends:
            known.remember_row(text, found)
        return found

    def _plain(self, told: Told) -> ReturnedCell:
        """Return a cell that is written plainly.

        Raises
        ------
        NotPlain
            Only the parser may read it.
        """
        _, column, row, form, kind, formula, content, empty, inline = told
        number, kind_or_none, address = form or "0", kind or None, column + row
        stored = content[1:] if content else "" if empty else None
        if inline:
            if kind != "inlineStr":
                raise NotPlain
            stored = unescaped(without_entities(inline[1:]))
        elif "&" in content:
            stored = without_entities(content[1:])
        if formula:
            return self._made(number, kind_or_none, stored, address, self._formula(formula[1:]))
        plain, key = self._tables.plain, (number, kind_or_none, stored)
        cell = plain.get(key)
        if cell is None:
            cell = plain[key] = self._made(number, kind_or_none, stored, address)
        return cell

    def _formula(self, text: str) -> str:
        known = self._tables.known
        formula = known.formulas.get(text)
        if formula is None:
            formula = without_entities(text).removeprefix("=")
            if len(formula) > self._tables.limits.formula_characters or reach_outside(formula) is not None:
                raise NotPlain
            known.remember_formula(text, formula)
        return formula

    def _read_row(self, row: etree._Element, number: int, text: str) -> None:
        cell_tag, value_tag = f"{self._namespace}c", self._value_tag
        limits, cells, digits = self._tables.limits, self.cells, len(text)
        last_column = limits.last_column if number <= limits.last_row else 0
        plain = self._tables.plain
        column = 0
        for element in row:
            if element.tag != cell_tag:
                refuse_cells_inside(element, self._namespace, self._title)
                continue
            address, before = element.get("r"), column
            if address is None:
                column += 1
                address = f"{get_column_letter(column)}{text}"
            else:
                column = COLUMNS.get(address[:-digits], 0) if address.endswith(text) else 0
                if not column:
                    raise unsafe(f"a cell {quoted(address)} in row {text} of {quoted(self._title)}")
            if column > last_column:
                raise too_far(f"a cell {quoted(self._title)} {address}", limits)
            if address in cells:
                raise unsafe(f"a cell that is there twice, {quoted(self._title)} {address}")
            if column <= before:
                raise unsafe(f"cells that are not in order, {quoted(self._title)} {address}")
            children = len(element)
            if children == 0:
                content = None
            elif children == 1 and (child := element[0]).tag == value_tag and not len(child):
                content = child.text or ""
            else:
                cells[address] = self._read_cell(element, number, column, address)
                continue
            key = element.get("s", "0"), element.get("t"), content
            cell = plain.get(key)
            if cell is None:
                cell = plain[key] = self._made(*key, address)
            cells[address] = cell

    def _read_cell(
        self, element: etree._Element, row: int, column: int, address: str
    ) -> ReturnedCell:
        content = formula = array = None
        kind = element.get("t")
        tables, value_tag = self._tables, self._value_tag
        for child in element:
            tag = child.tag
            if tag == value_tag and content is None and not len(child):
                content = child.text or ""
            elif tag == self._formula_tag and formula is None:
                formula = self._formulas.read(child, row, column, address)
                if child.get("t") in ARRAYS:
                    array = child.get("ref", address)
                    check_range(array, tables.limits, self._title)
            elif tag == self._inline_tag and content is None and kind == "inlineStr":
                content = plain_text(child, self._namespace)
            elif tag in {value_tag, self._formula_tag}:
                raise unsafe(f"a cell that holds two things, {quoted(self._title)} {address}")
            else:
                refuse_cells_inside(child, self._namespace, self._title)
        return self._made(element.get("s", "0"), kind, content, address, formula, array)

    def _made(
        self, number: str, kind: str | None, content: str | None, address: str, formula: str | None = None,
        array: str | None = None,
    ) -> ReturnedCell:
        """Return a cell from the number of its format, its kind and what is stored."""
        tables = self._tables
        form = tables.formats.get(number) or tables.format(number, self._title, address)
        locked, number_format = form
        if content is None:
            return ReturnedCell(None, "blank", formula, locked, number_format, None, array)
        reader = READERS.get(kind)
        typed = None if reader is None else reader(content, tables)
        value, kind_of_value, raw = typed or (None, "error", content)
        return ReturnedCell(value, kind_of_value, formula, locked, number_format, raw, array)


def refuse_cells_inside(element: etree._Element, namespace: str, title: str) -> None:
    """Refuse cells where only some programs would look for them.

    Raises
    ------
    UnreadableFile
        FILE05.
    """
    hidden = element.iter(*(f"{namespace}{word}" for word in ("sheetData", "row", "c")))
    if next(hidden, None) is not None:
        raise unsafe(f"cells in an unusual place of sheet {quoted(title)}")


def check_range(text: str, limits: Limits, title: str) -> None:
    """Refuse a range that is none, or reaches far outside the sheet.

    Raises
    ------
    UnreadableFile
        FILE05.
    """
    for corner in text.replace("$", "").split(":", 1):
        match = ADDRESS.fullmatch(corner)
        if match is None or match[1] not in COLUMNS:
            raise unsafe(f"a range that is none, {quoted(text)} in sheet {quoted(title)}")
        if int(match[2]) > limits.last_row or COLUMNS[match[1]] > limits.last_column:
            raise too_far(f"a range {quoted(text)} in sheet {quoted(title)}", limits)


def too_far(what: str, limits: Limits) -> UnreadableFile:
    """Return the exception of something far outside the sheet."""
    corner = f"{get_column_letter(limits.last_column)}{limits.last_row}"
    return unsafe(
        f"{what}, far outside the sheet",
        f"nothing beyond {corner}",
        f"Delete the rows and columns beyond {corner}, save the workbook and send that copy.",
    )


def strict_number(text: str) -> float | None:
    """Return a number as programs store it; None for anything else that Python would take.

    Examples
    --------
    >>> strict_number("-1.5E-07")
    -1.5e-07
    >>> [strict_number(text) for text in ("1_000", " 1", "nan", "3,5", "1e999")]
    [None, None, None, None, None]
    """
    if len(text) <= LONGEST_NUMBER and NUMBER.fullmatch(text):
        number = float(text)
        if math.isfinite(number):
            return number
    return None


def _number(content: str, _: SharedTables) -> Typed | None:
    if content == "":
        return None, "blank", None
    number = strict_number(content)
    return None if number is None else (number, "number", None)


def _shared_text(content: str, tables: SharedTables) -> Typed | None:
    if INDEX.fullmatch(content) and int(content) < len(tables.texts):
        return tables.texts[int(content)], "text", None
    return None


def _own_text(content: str, tables: SharedTables) -> Typed:
    if len(content) > tables.limits.text_characters:
        raise too_long(tables.limits)
    return content, "text", None


def _formula_text(content: str, tables: SharedTables) -> Typed:
    return _own_text(unescaped(content), tables)


def _truth(content: str, _: SharedTables) -> Typed | None:
    return (TRUTH[content], "bool", None) if content in TRUTH else None


def _error(content: str, _: SharedTables) -> Typed:
    return content, "error", content


def _date(content: str, tables: SharedTables) -> Typed | None:
    try:
        moment = from_ISO8601(content)
        return None if moment is None else (float(to_excel(moment, tables.epoch)), "number", None)
    except (ValueError, TypeError, OverflowError):
        return None


READERS = {
    None: _number,
    "n": _number,
    "s": _shared_text,
    "str": _formula_text,
    "inlineStr": _own_text,
    "b": _truth,
    "e": _error,
    "d": _date,
}
