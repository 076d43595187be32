"""One table of an OpenDocument spreadsheet, repeated rows and columns written out as far as they matter."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from lxml import etree
from openpyxl.utils import get_column_letter

from validators.errors import quoted
from validators.file_kinds import TAKE_OUT, unsafe
from validators.open_document_cells import FORMULA, holds_something, read_cell
from validators.open_document_formula import translated
from validators.open_document_styles import TABLE, Styles
from validators.returned_sheet import CellFormat, ReturnedCell, ReturnedSheet, ReturnedValidation
from validators.sheet_cells import SharedTables, too_far

ROW_FRAMES = frozenset(f"{TABLE}{word}" for word in ("table-header-rows", "table-row-group", "table-rows"))
COLUMN_FRAMES = frozenset(
    f"{TABLE}{word}" for word in ("table-header-columns", "table-column-group", "table-columns")
)
ROW, COLUMN, CELL, COVERED = (
    f"{TABLE}{word}" for word in ("table-row", "table-column", "table-cell", "covered-table-cell")
)
STYLE_NAME, DEFAULT_STYLE = f"{TABLE}style-name", f"{TABLE}default-cell-style-name"
RULE_NAME = f"{TABLE}content-validation-name"
LOOSE = "{urn:org:documentfoundation:names:experimental:office:xmlns:loext:1.0}"
COUNT = re.compile(r"[1-9][0-9]{0,8}")
MOST_BLANK_ROWS = 1000
"""Blank rows that are told once and stand more often than this hold nothing of ours."""

CONDITIONS = (
    ("cell-content-is-decimal-number()", "decimal"),
    ("cell-content-is-whole-number()", "whole"),
    ("cell-content-is-date()", "date"),
    ("cell-content-is-time()", "time"),
    ("cell-content-text-length()", "textLength"),
    ("cell-content-text-length-is-", "textLength"),
    ("cell-content-is-in-list(", "list"),
    ("is-true-formula(", "custom"),
)
OPERATORS = (
    (">=", "greaterThanOrEqual"), ("<=", "lessThanOrEqual"), ("!=", "notEqual"), ("<", "lessThan"),
    (">", "greaterThan"), ("=", "equal"),
)
BETWEEN = re.compile(r"is-(not-)?between\((.*)\)$")
COMPARED = re.compile(r"(?:cell-content(?:-text-length)?\(\))\s*(>=|<=|!=|<|>|=)\s*(.*)$")
Rules = Mapping[str, etree._Element]


def read_table(
    table: etree._Element, styles: Styles, rules: Rules, tables: SharedTables, names: dict[str, str]
) -> ReturnedSheet:
    """Return what a table holds.

    Parameters
    ----------
    table : element
        ``table:table``.
    styles : Styles
        Formats by the names of their styles.
    rules : mapping
        The entry rules of the workbook by name.
    tables : SharedTables
        Limits of the workbook, and how much of them is used up.
    names : dict
        Names that hold in this sheet only.

    Raises
    ------
    UnreadableFile
        FILE04 a formula that reads from another document; FILE05 too many cells, or cells far outside.
    """
    reader = _TableReader(table.get(f"{TABLE}name", ""), styles, tables)
    reader.read(table)
    protected = table.get(f"{TABLE}protected") == "true"
    said = table.find(f"{LOOSE}table-protection")
    allowed = {} if said is None else said.attrib
    return ReturnedSheet(
        title=reader.title,
        visible="hidden" if table.get(STYLE_NAME) in styles.hidden else "visible",
        cells=reader.cells,
        protected=protected,
        password=bool(table.get(f"{TABLE}protection-key")),
        protection={
            "selectLockedCells": allowed.get(f"{LOOSE}select-protected-cells", "true") == "false",
            "selectUnlockedCells": allowed.get(f"{LOOSE}select-unprotected-cells", "true") == "false",
            **{
                action: allowed.get(f"{LOOSE}{word}", "false") != "true"
                for action, word in (
                    ("insertColumns", "insert-columns"), ("insertRows", "insert-rows"),
                    ("deleteColumns", "delete-columns"), ("deleteRows", "delete-rows"),
                )
            },
        },
        validations=tuple(
            _rule(rules[name], tuple(addresses))
            for name, addresses in reader.ruled.items()
            if name in rules
        ),
        merged=tuple(reader.merged),
        names=names,
        row_formats=reader.row_formats,
        column_formats=tuple(reader.column_formats),
    )


class _TableReader:
    """Reads rows in their order; blank cells are kept only where they differ from row and column."""

    def __init__(self, title: str, styles: Styles, tables: SharedTables) -> None:
        self.title, self.styles, self.tables = title, styles, tables
        self.cells: dict[str, ReturnedCell] = {}
        self.row_formats: dict[int, CellFormat] = {}
        self.column_formats: list[tuple[int, int, CellFormat]] = []
        self.ruled: dict[str, list[str]] = {}
        self.merged: list[str] = []

    def read(self, table: etree._Element) -> None:
        last = 0
        for column in _members(table, COLUMN, COLUMN_FRAMES):
            first, last = last + 1, last + self._repeated(column, "columns")
            form = self.styles.format(column.get(DEFAULT_STYLE, "Default"))
            if form != CellFormat():
                self.column_formats.append((first, last, form))
        number = 0
        for row in _members(table, ROW, ROW_FRAMES):
            times = self._repeated(row, "rows")
            full = any(holds_something(cell) for cell in row.iterchildren(CELL, COVERED))
            if full and number + times > self.tables.limits.last_row:
                raise too_far(f"a row {number + times} of {quoted(self.title)}", self.tables.limits)
            if full or times <= MOST_BLANK_ROWS:
                for line in range(number + 1, number + times + 1):
                    self._read_row(row, line)
            number += times

    def _read_row(self, row: etree._Element, number: int) -> None:
        style = row.get(DEFAULT_STYLE)
        form = None if style is None else self.styles.format(style)
        if form is not None and form != CellFormat():
            self.row_formats[number] = form
        limits, used = self.tables.limits, self.tables.used
        column = 0
        for element in row.iterchildren(CELL, COVERED):
            times = self._repeated(element, "columns")
            full = holds_something(element)
            if full and (column + times > limits.last_column or number > limits.last_row):
                raise too_far(
                    f"a cell {quoted(self.title)} {get_column_letter(min(column + times, 16384))}{number}",
                    limits,
                )
            if full or element.get(STYLE_NAME) or element.get(RULE_NAME):
                last = min(column + times, limits.last_column)
                used.cells += max(0, last - column)
                if used.cells > limits.cells:
                    raise unsafe("far too many cells", f"at most {limits.cells} cells", TAKE_OUT)
                for position in range(column + 1, last + 1):
                    self._take(element, number, position, form, full=full)
            column += times

    def _take(
        self, element: etree._Element, row: int, column: int, of_row: CellFormat | None, *, full: bool
    ) -> None:
        address = f"{get_column_letter(column)}{row}"
        fallback = of_row or next(
            (form for first, last, form in self.column_formats if first <= column <= last), CellFormat()
        )
        style = element.get(STYLE_NAME)
        form = fallback if style is None else self.styles.format(style)
        rule = element.get(RULE_NAME)
        if rule:
            self.ruled.setdefault(rule, []).append(address)
        if full:
            where = f"{quoted(self.title)} {address}"
            if len(element.get(FORMULA, "")) > self.tables.limits.formula_characters:
                most = f"formulas of at most {self.tables.limits.formula_characters} characters"
                raise unsafe(f"a formula of {len(element.get(FORMULA))} characters, {where}", most)
            self.cells[address] = read_cell(element, form, self.tables, where)
        elif form != fallback:
            self.cells[address] = ReturnedCell(None, "blank", None, form.locked, form.number_format)
        if element.tag == CELL:
            self._merge(element, row, column, address)

    def _merge(self, element: etree._Element, row: int, column: int, address: str) -> None:
        across = _count(element.get(f"{TABLE}number-columns-spanned", "1")) or 1
        down = _count(element.get(f"{TABLE}number-rows-spanned", "1")) or 1
        if (across, down) != (1, 1):
            corner = f"{get_column_letter(min(column + across - 1, 16384))}{row + down - 1}"
            self.merged.append(f"{address}:{corner}")

    def _repeated(self, element: etree._Element, what: str) -> int:
        times = _count(element.get(f"{TABLE}number-{what}-repeated", "1"))
        if times is None:
            raise unsafe(f"{what} repeated in an unusual way in sheet {quoted(self.title)}")
        return times


def _count(text: str) -> int | None:
    return int(text) if COUNT.fullmatch(text) else None


def _members(parent: etree._Element, tag: str, frames: frozenset[str]) -> Iterator[etree._Element]:
    for child in parent:
        if child.tag == tag:
            yield child
        elif child.tag in frames:
            yield from _members(child, tag, frames)


def _rule(element: etree._Element, addresses: tuple[str, ...]) -> ReturnedValidation:
    condition = element.get(f"{TABLE}condition", "")
    bare = condition.partition(":")[2] if re.match(r"[a-z]+:", condition) else condition
    kind = next((kind for words, kind in CONDITIONS if bare.startswith(words)), "none")
    operator, first, second = _bounds(bare, kind)
    message = element.find(f"{TABLE}error-message")
    return ReturnedValidation(
        ranges=addresses,
        type=kind,
        operator=operator,
        formula1=first,
        formula2=second,
        allow_blank=element.get(f"{TABLE}allow-empty-cell", "true") == "true",
        show_error=message is not None and message.get(f"{TABLE}display") == "true",
        error_style="stop" if message is None else message.get(f"{TABLE}message-type", "stop"),
    )


def _bounds(bare: str, kind: str) -> tuple[str, str | None, str | None]:
    """Return operator and bounds of a condition, in the spelling of an .xlsx workbook."""
    if kind in ("list", "custom"):
        inside = bare[bare.index("(") + 1 :].removesuffix(")")
        return "between", translated(f"of:={inside}"), None
    between = BETWEEN.search(bare)
    if between:
        first, _, second = between[2].partition(",")
        return "notBetween" if between[1] else "between", first.strip(), second.strip() or None
    compared = COMPARED.search(bare)
    if compared:
        return dict(OPERATORS)[compared[1]], compared[2].strip(), None
    return "between", None, None

