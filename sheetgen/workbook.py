"""The plan as a file: cells, names, locks, entry rules, print set-up, birth record, stored values."""

from __future__ import annotations

import datetime
import io
import math
import os
import tempfile
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

import xlsxwriter
from xlsxwriter.utility import xl_range_abs, xl_rowcol_to_cell

from sheetgen.catalogue import Entry
from sheetgen.errors import DefinitionError
from sheetgen.look import look, number_format, properties, tone_format
from sheetgen.plan import BIRTH_SHEET, LABEL_COLUMN, Plan, PlannedCell, PlannedSheet
from sheetgen.rules import entry_rule

PROGRAM = "boreledger"
CHUNK = 30_000
PROTECTION = {
    "select_locked_cells": True,
    "select_unlocked_cells": True,
    "format_columns": True,
    "format_rows": True,
}


def birth_rows(plan: Plan) -> list[tuple[str, str]]:
    """Return the birth record: from it alone the workbook's plan can be made again."""
    text = plan.build.as_text()
    chunks = [text[start : start + CHUNK] for start in range(0, len(text), CHUNK)]
    return [
        ("record", f"{PROGRAM} birth record"),
        ("template version", str(plan.version)),
        ("units", plan.build.family),
        ("layout", plan.build.layout.name),
        ("plan digest", plan.digest),
        *((f"build definition {number}", chunk) for number, chunk in enumerate(chunks, 1)),
    ]


def write_workbook(plan: Plan, path: Path) -> None:
    """Write a workbook as a new file, whole or not at all.

    Raises
    ------
    DefinitionError
        There is a file of that name already, or the folder cannot be written to.
    """
    save_new(path, workbook_bytes(plan))


def save_new(path: Path, data: bytes) -> None:
    """Save bytes as a new file; an existing file is never overwritten."""
    if path.exists():
        raise DefinitionError(str(path), "there is a file of this name; it is not overwritten")
    try:
        handle, name = tempfile.mkstemp(dir=path.parent or Path(), prefix=".boreledger-", suffix=".part")
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(data)
            Path(name).chmod(0o644)
            try:
                os.link(name, path)  # fails if somebody was quicker
            except FileExistsError:
                raise DefinitionError(str(path), "there is a file of this name; it is not overwritten") from None
            except OSError:
                Path(name).rename(path)
                return
        finally:
            Path(name).unlink(missing_ok=True)
    except OSError as error:
        raise DefinitionError(str(path), f"it cannot be written ({error.strerror})") from None


def workbook_bytes(plan: Plan, *, stored_values: bool = True) -> bytes:
    """Return the workbook as the bytes of an xlsx file, with computed values in its formula cells."""
    stream = io.BytesIO()
    book = xlsxwriter.Workbook(stream, {"in_memory": True, "strings_to_formulas": False,
                                        "strings_to_urls": False, "strings_to_numbers": False})
    _Writer(book, plan).write()
    book.close()
    data = stream.getvalue()
    return store_values(data) if stored_values else data


def store_values(data: bytes) -> bytes:
    """Return the same workbook with every formula's value stored in its cell."""
    import formualizer  # noqa: PLC0415  only this needs it, and it is not light

    return formualizer.recalculate_xlsx_bytes(data)["bytes"]


class _Writer:
    """Writes one plan with one set of formats."""

    def __init__(self, book: Any, plan: Plan) -> None:
        self.book, self.plan = book, plan
        self.formats: dict[tuple[str, str, bool], Any] = {}
        self.sheets: dict[str, Any] = {}
        self.catalogue, self.family = plan.catalogue, plan.build.family
        self.long_words = {
            name for name, words in self.catalogue.words.items() if max(map(len, words)) > 17
        }

    def write(self) -> None:
        for sheet in self.plan.sheets:
            self.sheets[sheet.template.title] = self.book.add_worksheet(sheet.template.title)
        by_sheet: dict[str, list[PlannedCell]] = {title: [] for title in self.sheets}
        for cell in self.plan.cells:
            by_sheet[cell.sheet].append(cell)
        titles = {sheet.template.stem: sheet.template.title for sheet in self.plan.sheets}
        for sheet in self.plan.sheets:
            page = self.sheets[sheet.template.title]
            self.set_up(page, sheet)
            for cell in by_sheet[sheet.template.title]:
                self.put(page, cell, titles)
            self.heights(page, by_sheet[sheet.template.title], sheet)
            self.rules(page, by_sheet[sheet.template.title])
            self.tones(page, by_sheet[sheet.template.title])
            page.protect("", PROTECTION)
        for name, (title, first, last) in self.plan.names.items():
            area = xl_range_abs(first[0] - 1, first[1] - 1, last[0] - 1, last[1] - 1)
            self.book.define_name(name, f"='{title}'!{area}")
        self.birth_record()
        self.sheets[self.plan.sheets[0].template.title].activate()

    def format(self, role: str, numbers: str = "General", *, wrap: bool = False) -> Any:
        key = (role, numbers, wrap)
        if key not in self.formats:
            made = properties(role)
            if numbers != "General":
                made["num_format"] = numbers
            if wrap:
                made["text_wrap"] = True
            self.formats[key] = self.book.add_format(made)
        return self.formats[key]

    def set_up(self, page: Any, sheet: PlannedSheet) -> None:
        """Columns, panes and paper."""
        widths = look()["widths"]
        page.hide_gridlines(2)
        page.set_column(0, 0, widths["label"], self.format("note"))
        page.set_column(1, max(sheet.columns - 1, 9), widths["data"])
        page.freeze_panes(3, 1)
        page.set_paper(9 if self.family == "millimetre" else 1)
        if not sheet.template.portrait:
            page.set_landscape()
        page.fit_to_pages(1, 0)
        page.set_margins(left=0.5, right=0.5, top=0.6, bottom=0.7)
        page.repeat_rows(0, 1)
        page.print_area(0, 0, sheet.rows - 1, sheet.columns - 1)
        page.set_footer("&L&8boreledger, template version "
                        f"{self.plan.version}, {self.plan.build.layout.name}, {self.family} family"
                        "&C&8&A&R&8page &P of &N")
        if sheet.breaks:
            page.set_h_pagebreaks(list(sheet.breaks))

    def put(self, page: Any, cell: PlannedCell, titles: Mapping[str, str]) -> None:
        """Write one cell."""
        row, column = cell.row - 1, cell.column - 1
        entry = self.catalogue.entries.get(cell.key)
        style = self.style(cell, entry)
        if cell.columns > 1 or cell.rows > 1:
            last_row, last_column = row + cell.rows - 1, column + cell.columns - 1
            page.merge_range(row, column, last_row, last_column, "", style)
        value = cell.value
        if cell.formula:
            page.write_formula(row, column, cell.formula, style, "")
        elif value is None:
            page.write_blank(row, column, None, style)
        elif isinstance(value, bool) or not isinstance(value, int | float):
            if entry is not None and entry.text == "date" and cell.is_input:
                page.write_datetime(row, column, datetime.datetime.fromisoformat(value), style)
            elif cell.role == "row_label" and value in titles.values() and cell.sheet != value:
                page.write_url(row, column, f"internal:'{value}'!A1", style, value)
            else:
                page.write_string(row, column, value, style)
        else:
            page.write_number(row, column, value, style)

    def style(self, cell: PlannedCell, entry: Entry | None) -> Any:
        if entry is None or cell.role in ("row_label", "column_header", "unit", "note"):
            return self.format(cell.role)
        role = "constant" if entry.kind == "constant" and entry.text else cell.role
        numbers = number_format(entry, self.catalogue, self.family)
        if entry.kind == "constant":
            numbers = "General"
        wrap = entry.words in self.long_words or entry.text == "note"
        return self.format(role, numbers, wrap=wrap)

    def heights(self, page: Any, cells: Iterable[PlannedCell], sheet: PlannedSheet) -> None:
        """Give each row the height its longest text needs."""
        widths, need = look()["widths"], {}
        for cell in cells:
            entry = self.catalogue.entries.get(cell.key)
            text = ""
            if isinstance(cell.value, str) and cell.role in (
                "column_header", "element_header", "row_label", "note", "help", "text", "caution", "unit_header",
            ):
                text = cell.value
            elif cell.role in ("verdict", "verdict_echo", "input") and entry is not None and entry.words:
                text = max(self.catalogue.words[entry.words], key=len)
            if not text:
                continue
            width = (widths["label"] if cell.column == LABEL_COLUMN else widths["data"])
            width += widths["data"] * (cell.columns - 1)
            bold = 1.12 if cell.role in ("column_header", "verdict", "caution") else 1.0
            size = 0.9 if cell.role == "note" else 1.0
            lines = wrapped_lines(text, width / (bold * size))
            per_row = math.ceil(lines / cell.rows)
            need[cell.row] = max(need.get(cell.row, 1), per_row)
        for row, lines in need.items():
            page.set_row(row - 1, 15 if lines == 1 else 13.2 * lines + 3)
        page.set_row(0, 27)

    def rules(self, page: Any, cells: Iterable[PlannedCell]) -> None:
        """Entry rules: what a cell accepts, and a prompt that says so."""
        groups: dict[str, list[PlannedCell]] = {}
        for cell in cells:
            if cell.is_input:
                groups.setdefault(cell.key, []).append(cell)
        for key, members in groups.items():
            rule = entry_rule(self.plan, key)
            places = [xl_rowcol_to_cell(cell.row - 1, cell.column - 1) for cell in members]
            rule["multi_range"] = " ".join(places)
            page.data_validation(places[0], rule)

    def tones(self, page: Any, cells: Iterable[PlannedCell]) -> None:
        """Let colour repeat what the words say."""
        places = [
            xl_rowcol_to_cell(cell.row - 1, cell.column - 1)
            for cell in cells
            if cell.role in ("verdict", "verdict_echo")
        ]
        if not places:
            return
        for tone, words in look()["tone"].items():
            tests = ",".join(f'{places[0]}="{word}"' for word in words)
            page.conditional_format(
                places[0],
                {
                    "type": "formula",
                    "criteria": f"=OR({tests})",
                    "format": self.tone(tone),
                    "multi_range": " ".join(places),
                },
            )

    def tone(self, tone: str) -> Any:
        key = (tone, "tone", False)
        if key not in self.formats:
            self.formats[key] = self.book.add_format(tone_format(tone))
        return self.formats[key]

    def birth_record(self) -> None:
        page = self.book.add_worksheet(BIRTH_SHEET)
        rows = birth_rows(self.plan)
        for row, (key, value) in enumerate(rows):
            page.write_string(row, 0, key)
            page.write_string(row, 1, value)
        page.protect("", PROTECTION)
        page.very_hidden()
        self.book.set_properties({"title": f"{PROGRAM} workbook", "comments": f"plan {self.plan.digest}"})
        self.book.set_custom_property("boreledger template", str(self.plan.version), "text")
        self.book.set_custom_property("boreledger plan", self.plan.digest, "text")


def wrapped_lines(text: str, width: float) -> int:
    """Return how many lines a text takes in a column of `width` characters.

    Examples
    --------
    >>> wrapped_lines("Clearance from thrust-axis mean", 13)
    3
    """
    lines, used = 1, 0.0
    for word in text.split():
        if used and used + 1 + len(word) > width:
            lines, used = lines + 1, 0.0
        used += len(word) + (1 if used else 0)
        while used > width:
            lines, used = lines + 1, used - width
    return lines
