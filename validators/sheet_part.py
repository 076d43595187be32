"""One worksheet part in a single pass: cells, validation rules, protection, merged ranges."""

from __future__ import annotations

from collections.abc import Mapping

from lxml import etree

from validators.container import carries
from validators.errors import quoted
from validators.file_kinds import unsafe
from validators.formula_text import reach_outside
from validators.returned_sheet import CellFormat, Frame, ReturnedSheet, ReturnedValidation, Visibility
from validators.shared_parts import is_true
from validators.sheet_cells import (
    ROW_NUMBER,
    CellReader,
    SharedTables,
    check_range,
    refuse_cells_inside,
)

ONCE = ("sheetData", "sheetProtection", "mergeCells", "dataValidations", "hyperlinks")
RULES_2009 = "{http://schemas.microsoft.com/office/spreadsheetml/2009/9/main}"
TEXT_2006 = "{http://schemas.microsoft.com/office/excel/2006/main}"
ALLOWED_UNLESS_SAID = ("objects", "scenarios", "selectLockedCells", "selectUnlockedCells")
FORBIDDEN_UNLESS_SAID = (
    "formatCells",
    "formatColumns",
    "formatRows",
    "insertColumns",
    "insertRows",
    "insertHyperlinks",
    "deleteColumns",
    "deleteRows",
    "sort",
    "autoFilter",
    "pivotTables",
)


def read_sheet(
    root: etree._Element,
    tables: SharedTables,
    *,
    title: str,
    visible: Visibility,
    names: dict[str, str],
) -> ReturnedSheet:
    """Return what a worksheet part holds. Its ``dimension`` is not looked at.

    Parameters
    ----------
    root : element
        The part, parsed.
    tables : SharedTables
        Texts, formats and limits of the workbook.
    title, visible, names
        What the workbook part says of the sheet.

    Raises
    ------
    UnreadableFile
        FILE04 when a formula reaches out of the workbook, FILE05 when a limit is exceeded or
        something stands twice.
    """
    frame, rows = read_frame(root, tables, title)
    reader = CellReader(title, f"{root.tag.rpartition('}')[0]}}}", tables)
    reader.read(() if rows is None else rows)
    return _framed(frame, reader, title, visible, names)


def read_plain_sheet(
    frame: Frame, rows: str, namespace: str, tables: SharedTables, *, title: str, visible: Visibility,
    names: dict[str, str],
) -> ReturnedSheet | None:
    """Return what a worksheet part holds whose rows were cut out; None where it has to be parsed with them.

    Parameters
    ----------
    frame : Frame
        What the part says around its rows.
    rows : str
        Its rows, as `plain_rows.cut_rows` took them out of the part.
    namespace : str
        Prefix of its elements.
    tables, title, visible, names
        As for `read_sheet`.
    """
    reader = CellReader(title, namespace, tables)
    if not frame.has_rows or not reader.read_plain(rows):
        return None
    return _framed(frame, reader, title, visible, names)


def _framed(
    frame: Frame, reader: CellReader, title: str, visible: Visibility, names: dict[str, str]
) -> ReturnedSheet:
    return ReturnedSheet(
        title=title,
        visible=visible,
        cells=reader.cells,
        protected=frame.protected,
        password=frame.password,
        protection=frame.protection,
        validations=frame.validations,
        merged=frame.merged,
        names=names,
        row_formats=reader.row_formats,
        column_formats=frame.column_formats,
    )


def read_frame(
    root: etree._Element, tables: SharedTables, title: str
) -> tuple[Frame, etree._Element | None]:
    """Return what a worksheet part says around its rows, and the element that holds them.

    Raises
    ------
    UnreadableFile
        As for `read_sheet`.
    """
    namespace = f"{root.tag.rpartition('}')[0]}}}"
    once: dict[str, etree._Element] = {}
    columns: list[tuple[int, int, CellFormat]] = []
    late_rules: list[ReturnedValidation] = []
    for child in root:
        word = child.tag.removeprefix(namespace)
        if word in ONCE:
            if word in once:
                raise unsafe(f"a second {word} in sheet {quoted(title)}")
            once[word] = child
        elif word == "cols":
            columns += _column_formats(child, tables, title)
        else:
            refuse_cells_inside(child, namespace, title)
            late_rules += _rules(child, RULES_2009, title)
    for word in ("mergeCells", "hyperlinks"):
        for element in once.get(word, ()):
            check_range(element.get("ref", ""), tables.limits, title)
    rules = _rules(once["dataValidations"], namespace, title) if "dataValidations" in once else []
    said: Mapping[str, str] = once["sheetProtection"].attrib if "sheetProtection" in once else {}
    frame = Frame(
        protected=is_true(said.get("sheet")),
        password=bool(said.get("password") or said.get("hashValue")),
        protection={
            **{action: is_true(said.get(action, "0")) for action in ALLOWED_UNLESS_SAID},
            **{action: is_true(said.get(action, "1")) for action in FORBIDDEN_UNLESS_SAID},
        },
        validations=(*rules, *late_rules),
        merged=tuple(element.get("ref") for element in once.get("mergeCells", ())),
        column_formats=tuple(columns),
        has_rows="sheetData" in once,
    )
    return frame, once.get("sheetData")


def _column_formats(
    columns: etree._Element, tables: SharedTables, title: str
) -> list[tuple[int, int, CellFormat]]:
    found = []
    for column in columns:
        first, last = column.get("min", ""), column.get("max", "")
        if not (ROW_NUMBER.fullmatch(first) and ROW_NUMBER.fullmatch(last)):
            raise unsafe(f"a column of sheet {quoted(title)} without a proper number")
        form = tables.format(column.get("style", "0"), title, f"column {first}")
        found.append((int(first), int(last), form))
    return found


def _rules(parent: etree._Element, namespace: str, title: str) -> list[ReturnedValidation]:
    """Return the validation rules below an element, of the first kind or of the kind of 2009."""
    rules = []
    for element in parent.iter(f"{namespace}dataValidation"):
        first = _rule_formula(element, namespace, "formula1")
        second = _rule_formula(element, namespace, "formula2")
        outside = reach_outside(first or "") or reach_outside(second or "")
        if outside:
            raise carries([f"{outside}, in a validation rule of sheet {quoted(title)}"])
        ranges = element.get("sqref") or element.findtext(f"{TEXT_2006}sqref") or ""
        rules.append(
            ReturnedValidation(
                ranges=tuple(ranges.replace("$", "").upper().split()),
                type=element.get("type", "none"),
                operator=element.get("operator", "between"),
                formula1=first,
                formula2=second,
                allow_blank=is_true(element.get("allowBlank")),
                show_error=is_true(element.get("showErrorMessage")),
                error_style=element.get("errorStyle", "stop"),
            )
        )
    return rules


def _rule_formula(rule: etree._Element, namespace: str, word: str) -> str | None:
    element = rule.find(f"{namespace}{word}")
    if element is None:
        return None
    text: str | None = element.findtext(f"{TEXT_2006}f") or element.text
    return text
