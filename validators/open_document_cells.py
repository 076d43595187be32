"""What stands in one cell of an OpenDocument spreadsheet."""

from __future__ import annotations

from lxml import etree
from openpyxl.utils.datetime import from_ISO8601, to_excel

from validators.cell_values import ERROR_TEXTS
from validators.container import carries
from validators.formula_text import reach_outside
from validators.open_document_formula import translated
from validators.open_document_styles import TABLE, URN
from validators.returned_sheet import CellFormat, ReturnedCell
from validators.shared_parts import too_long
from validators.sheet_cells import SharedTables, Typed, strict_number

OFFICE = f"{{{URN}:office:1.0}}"
TEXT = f"{{{URN}:text:1.0}}"
EXTENDED = "{urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0}"
VALUE_TYPE = f"{OFFICE}value-type"
ERROR_TYPE = f"{EXTENDED}value-type"
FORMULA = f"{TABLE}formula"
MATRIX = (f"{TABLE}number-matrix-rows-spanned", f"{TABLE}number-matrix-columns-spanned")
PARAGRAPH = f"{TEXT}p"
BLANKS = {f"{TEXT}s": " ", f"{TEXT}tab": "\t", f"{TEXT}line-break": "\n"}
LONGEST_COUNT = 9
"""Digits of a number of blanks that are looked at: far more than a text may be long."""
NUMBERS = frozenset({"float", "percentage", "currency"})
TRUTHS = {"true": True, "false": False}
ANY_ERROR = "#VALUE!"


def holds_something(element: etree._Element) -> bool:
    """Return whether a cell holds a value or a formula."""
    return element.get(VALUE_TYPE) is not None or element.get(FORMULA) is not None or (
        element.find(PARAGRAPH) is not None
    )


def read_cell(
    element: etree._Element, form: CellFormat, tables: SharedTables, where: str
) -> ReturnedCell:
    """Return one cell; its formula in the spelling of an .xlsx workbook.

    Parameters
    ----------
    element : element
        ``table-cell`` or ``covered-table-cell``.
    form : CellFormat
        Its lock and number format.
    tables : SharedTables
        Limits of the workbook, and the day its dates count from.
    where : str
        Sheet and address, for messages.

    Raises
    ------
    UnreadableFile
        FILE04 a formula that reads from another document, FILE05 a text that no cell can hold.
    """
    text = element.get(FORMULA)
    formula = None if text is None else translated(text, where)
    outside = reach_outside(formula) if formula else None
    if outside:
        raise carries([f"{outside}, {where}"])
    array = None
    if formula is not None and any(element.get(word) for word in MATRIX):
        array = where.rpartition(" ")[2]
    value, kind, raw = _typed(element, tables)
    return ReturnedCell(value, kind, formula, form.locked, form.number_format, raw, array)


def _typed(element: etree._Element, tables: SharedTables) -> Typed:
    kind = element.get(VALUE_TYPE)
    if element.get(ERROR_TYPE) == "error":
        shown = shown_text(element, tables)
        return (shown if shown in ERROR_TEXTS else ANY_ERROR), "error", shown
    if kind is None:
        shown = shown_text(element, tables)
        # A formula that gives "" is stored as an empty paragraph without a type.
        computed = element.get(FORMULA) is not None and element.find(PARAGRAPH) is not None
        return (shown, "text", None) if shown or computed else (None, "blank", None)
    if kind in NUMBERS:
        stored = element.get(f"{OFFICE}value", "")
        number = strict_number(stored)
        return (None, "error", stored) if number is None else (number, "number", None)
    if kind == "string":
        text = element.get(f"{OFFICE}string-value")
        text = shown_text(element, tables) if text is None else _checked(text, tables)
        return text, "text", None
    if kind == "boolean":
        stored = element.get(f"{OFFICE}boolean-value", "")
        return (TRUTHS[stored], "bool", None) if stored in TRUTHS else (None, "error", stored)
    if kind in ("date", "time"):
        stored = element.get(f"{OFFICE}{kind}-value", "")
        try:
            return float(to_excel(from_ISO8601(stored), tables.epoch)), "number", None
        except (ValueError, TypeError, OverflowError):
            return None, "error", stored
    return None, "error", kind


def shown_text(element: etree._Element, tables: SharedTables) -> str:
    """Return the paragraphs of a cell, one line each; remarks beside them are no part of it."""
    lines = [_line(paragraph, tables) for paragraph in element.iterchildren(PARAGRAPH)]
    return _checked("\n".join(lines), tables)


def _line(element: etree._Element, tables: SharedTables) -> str:
    if not len(element):
        return element.text or ""
    pieces: list[str] = []
    for event, part in etree.iterwalk(element, events=("start", "end")):
        if event == "start":
            blank = BLANKS.get(part.tag)
            if blank:
                count = part.get(f"{TEXT}c", "1")[:LONGEST_COUNT]
                most = tables.limits.text_characters + 1
                pieces.append(blank * min(int(count) if count.isascii() and count.isdecimal() else 1, most))
            pieces.append(part.text or "")
        elif part is not element:
            pieces.append(part.tail or "")
    return "".join(pieces)


def _checked(text: str, tables: SharedTables) -> str:
    if len(text) > tables.limits.text_characters:
        raise too_long(tables.limits)
    return text
