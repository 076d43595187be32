"""The plan as a file: cells, names, locks, entry rules, print set-up, birth record, stored values."""

from __future__ import annotations

import datetime
import io
import os
import tempfile
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from pathlib import Path
from typing import Any

import xlsxwriter
import xlsxwriter.worksheet
from xlsxwriter.utility import xl_range, xl_range_abs

from sheetgen.charts import ROLE as CHART
from sheetgen.charts import chart, described
from sheetgen.diagrams.render import diagram_path
from sheetgen.drawing import DRAWN, placed
from sheetgen.errors import DefinitionError
from sheetgen.gaps import LIST_COLUMN, LISTED
from sheetgen.kept_values import with_values
from sheetgen.look import (
    NO_LIMIT_FORMAT,
    NUMBERS,
    VERDICTS,
    alignment,
    filled_format,
    look,
    number_format,
    properties,
    tone_format,
)
from sheetgen.page_fit import measures
from sheetgen.paper import SHEETS_OF_PAPER, cell_pixels, is_shrunk, needs_two_lines, page_breaks
from sheetgen.plan import BIRTH_SHEET, Plan, PlannedCell, PlannedSheet
from sheetgen.rules import entry_rule, in_lines
from sheetgen.seal import SealRow, ShopKey, seal_rows
from sheetgen.sheet_cells import LABEL_COLUMN
from sheetgen.sheet_grid import HEAD_ROWS
from sheetgen.summary_charts import CHARTS
from sheetgen.telling import Telling, told

PROGRAM = "boreledger"
CHUNK = 30_000
FEW_COLUMNS = 5
"""A sheet of no more is seen as a whole: its labels need not stay in sight."""
LINK_TIP = "Go to the first of these entries"
POINTS_PER_PIXEL = 0.75
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


def write_workbook(plan: Plan, path: Path, key: ShopKey | None = None, *, known: bool = False) -> None:
    """Write a workbook as a new file, whole or not at all.

    Of a known engine in which nothing is given the stored values are kept between runs.

    Raises
    ------
    DefinitionError
        There is a file of that name already, or the folder cannot be written to.
    """
    if known:
        data = with_values(workbook_bytes(plan, stored_values=False, key=key), store_values)
    else:
        data = workbook_bytes(plan, key=key)
    save_new(path, data)


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
                why = "there is a file of this name; it is not overwritten"
                raise DefinitionError(str(path), why) from None
            except OSError:
                Path(name).rename(path)
                return
        finally:
            Path(name).unlink(missing_ok=True)
    except OSError as error:
        raise DefinitionError(str(path), f"it cannot be written ({error.strerror})") from None


def workbook_bytes(
    plan: Plan, *, stored_values: bool = True, key: ShopKey | None = None, seal: Sequence[SealRow] = ()
) -> bytes:
    """Return the workbook as the bytes of an xlsx file, with computed values in its formula cells.

    Without stored values, points of drawings hold a place outside their frame all the same. With a shop's
    key its birth record carries a keyed digest; `seal` is one that a workbook of the same plan has already.
    """
    data = _written(plan, seal_rows(plan, key) or seal)
    return store_values(data) if stored_values else data


def bare_workbook(plan: Plan) -> bytes:
    """Return the workbook with no value in any formula cell, for programs that compute it afresh."""
    return _written(plan, bare=True)


def _written(plan: Plan, seal: Sequence[SealRow] = (), *, bare: bool = False) -> bytes:
    stream = io.BytesIO()
    font = {"font_name": look()["font"], "font_size": look()["sizes"]["body"]}
    book = PlainBook(stream, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False,
                               "strings_to_numbers": False, "default_format_properties": font})
    _Writer(book, plan, seal, bare=bare).write()
    book.close()
    return stream.getvalue()


def store_values(data: bytes) -> bytes:
    """Return the same workbook with every formula's value stored in its cell."""
    import formualizer  # only this needs it, and it is not light

    return formualizer.recalculate_xlsx_bytes(data)["bytes"]


class PlainSheet(xlsxwriter.worksheet.Worksheet):  # type: ignore[misc]  # the library has no types
    """A sheet whose formulas need no respelling.

    The library looks for some forty newer functions in every formula, which takes a third of the time
    of writing; `formula_rules` allows none of them.
    """

    def _prepare_formula(self, formula: str, expand_future_functions: bool = False) -> str:
        return formula.removeprefix("=")


class PlainBook(xlsxwriter.Workbook):  # type: ignore[misc]  # the library has no types
    """A workbook whose names are known to be names: `Plan` made them, and the tests look at every one.

    The library asks six patterns of each of some 8,000, and only warns.
    """

    def define_name(self, name: str, formula: str) -> int:
        everywhere = -1
        self.defined_names.append([name, everywhere, formula.removeprefix("="), False])
        return 0


class _Writer:
    """Writes one plan with one set of formats."""

    def __init__(self, book: Any, plan: Plan, seal: Sequence[SealRow] = (), *, bare: bool = False) -> None:
        self.bare = bare
        self.book, self.plan, self.seal = book, plan, seal
        self.formats: dict[tuple[tuple[str, Any], ...], Any] = {}
        self.styles: dict[tuple[str, str, bool], Any] = {}
        self.catalogue, self.family = plan.catalogue, plan.build.family
        self.titles = {sheet.template.stem: sheet.template.title for sheet in plan.sheets}

    def write(self) -> None:
        by_sheet: dict[str, list[PlannedCell]] = {s.template.title: [] for s in self.plan.sheets}
        for cell in self.plan.cells:
            by_sheet[cell.sheet].append(cell)
        telling: dict[str, list[Telling]] = {}
        for rule in told(self.plan):
            telling.setdefault(rule.cell.sheet, []).append(rule)
        pages = {title: self.book.add_worksheet(title, PlainSheet) for title in by_sheet}
        for sheet in self.plan.sheets:
            title = sheet.template.title
            page, cells = pages[title], by_sheet[title]
            widths, heights = measures(sheet, cells, self.catalogue, self.family)
            self.set_up(page, sheet, cells, widths, heights)
            for cell in cells:
                self.put(page, cell, widths)
                if cell.role == CHART:
                    self.put_chart(page, cell, widths)
            self.rules(page, cells)
            self.tones(page, cells)
            for rule in telling.get(title, ()):
                self.tell(page, rule)
            page.protect("", PROTECTION)
        for name, (title, first, last) in self.plan.names.items():
            area = xl_range_abs(first[0] - 1, first[1] - 1, last[0] - 1, last[1] - 1)
            self.book.define_name(name, f"='{title}'!{area}")
        self.birth_record()
        pages[self.plan.sheets[0].template.title].activate()

    def format(self, wanted: Mapping[str, Any]) -> Any:
        """Return the file's format of these properties; each is made once."""
        key = tuple(sorted(wanted.items()))
        if key not in self.formats:
            self.formats[key] = self.book.add_format(dict(wanted))
        return self.formats[key]

    def set_up(
        self, page: Any, sheet: PlannedSheet, cells: Sequence[PlannedCell], widths: Sequence[float],
        heights: Sequence[float],
    ) -> None:
        """Columns, rows, panes and paper."""
        paper, portrait = look()["paper"], sheet.template.portrait
        page.hide_gridlines(2)
        for column, width in enumerate(widths):
            page.set_column(column, column, width)
        for row, height in enumerate(heights):
            page.set_row(row, height)
        if any(cell.role in LISTED for cell in cells):
            page.set_column(LIST_COLUMN - 1, LIST_COLUMN + len(LISTED) - 2, look()["widths"]["list"])
        page.freeze_panes(HEAD_ROWS + 1, LABEL_COLUMN if sheet.columns > FEW_COLUMNS else 0)
        first_entry = next((cell for cell in cells if cell.is_input), None)
        if first_entry:
            page.set_selection(*[first_entry.row - 1, first_entry.column - 1] * 2)
        page.set_paper(SHEETS_OF_PAPER[self.family][0])
        if not portrait:
            page.set_landscape()
        page.fit_to_pages(1, int(is_shrunk(sheet, widths, heights, self.family)))
        page.set_margins(paper["left"], paper["right"], paper["top"], paper["bottom"])
        page.repeat_rows(0)
        page.print_area(0, 0, sheet.printed_rows - 1, len(widths) - 1)
        job = str(self.plan.build.entries.get(("job_number", ())) or "").replace("&", "&&")
        page.set_footer(
            f"&L&8{PROGRAM} {self.plan.version}, {self.plan.build.layout.name}, {self.family} family"
            f"{f', job {job}' if job else ''}&C&8&A&R&8page &P of &N",
            {"margin": paper["footer"]},
        )
        breaks = page_breaks(sheet, widths, heights, self.family)
        if breaks:
            page.set_h_pagebreaks(breaks)

    def put(self, page: Any, cell: PlannedCell, widths: Sequence[float]) -> None:
        """Write one cell."""
        row, column, value = cell.row - 1, cell.column - 1, cell.value
        if cell.role == "drawing":
            self.put_drawing(page, cell, widths)
            return
        if cell.role == "picture":
            page.insert_image(row, column, str(diagram_path(cell.index[0])),
                              {"object_position": 2, "x_offset": 2, "y_offset": 3, "description": cell.label})
            return
        style = self.style(cell.role, cell.key, wrap=cell.role in VERDICTS and self.wraps(cell, widths))
        last_row, last_column = row + cell.rows - 1, column + cell.columns - 1
        if cell.role in ("block_title", "working_title"):
            for further in range(column + 1, last_column + 1):
                page.write_blank(row, further, None, style)
        elif (last_row, last_column) != (row, column):
            page.merge_range(row, column, last_row, last_column, "", style)
        goal = self.goal(cell)
        if goal:
            page.write_url(row, column, f"internal:{goal}", style, "", LINK_TIP)
        if cell.formula:
            page.write_formula(row, column, cell.formula, style, self.drawn_away(cell.key))
        elif value is None:
            page.write_blank(row, column, None, style)
        elif isinstance(value, str):
            if cell.is_input and self.catalogue.entries[cell.key].text == "date":
                page.write_datetime(row, column, datetime.datetime.fromisoformat(value), style)
            else:
                page.write_string(row, column, value, style)
        else:
            page.write_number(row, column, value, style)

    def goal(self, cell: PlannedCell) -> str:
        """Return where a click on a cell leads: to the first entry that a count of missing ones counts."""
        if cell.key == "stage_missing":
            title = self.titles[cell.index[0]]
            return f"'{title}'!{self.links.get(title, 'A1')}"
        return f"'{cell.sheet}'!{cell.link}" if cell.link else ""

    @cached_property
    def links(self) -> Mapping[str, str]:
        """The first required entry of each sheet, by the sheet's title."""
        return {cell.sheet: cell.link for cell in self.plan.cells if cell.role == "missing" and cell.link}

    def put_drawing(self, page: Any, cell: PlannedCell, widths: Sequence[float]) -> None:
        """Put a drawing over its cells; one that sets no size of its own is as wide and tall as they."""
        drawn = CHARTS[cell.index[0]](self.book, self.plan)
        if (drawn.width, drawn.height) == (480, 288):  # the library's own size: none was set
            height = cell.rows * look()["heights"]["drawing"] / POINTS_PER_PIXEL
            drawn.set_size({"width": cell_pixels(cell, widths) - 8, "height": height - 8})
        page.insert_chart(cell.row - 1, cell.column - 1, drawn, placed(cell.label))

    def put_chart(self, page: Any, cell: PlannedCell, widths: Sequence[float]) -> None:
        """Draw the chart of a cell, as large as the cell is."""
        made = chart(self.book, self.plan, cell)
        tall = look()["heights"]["chart"] / POINTS_PER_PIXEL
        made.set_size({"width": cell_pixels(cell, widths) - 2, "height": tall - 2})
        page.insert_chart(cell.row - 1, cell.column - 1, made, {
            "description": described(self.plan, cell), "object_position": 1, "x_offset": 1, "y_offset": 1,
        })

    def wraps(self, cell: PlannedCell, widths: Sequence[float]) -> bool:
        """Return whether a word is wrapped here; elsewhere it is shrunk if it does not fit."""
        entry = self.catalogue.entries.get(cell.key)
        return entry is not None and needs_two_lines(entry, cell_pixels(cell, widths), self.catalogue)

    def style(self, role: str, key: str, *, wrap: bool) -> Any:
        """Return the format of a role, as it is for one quantity."""
        if (role, key, wrap) not in self.styles:
            self.styles[role, key, wrap] = self.format(self.wanted(role, key, wrap=wrap))
        return self.styles[role, key, wrap]

    def wanted(self, role: str, key: str, *, wrap: bool) -> dict[str, Any]:
        """Return the format properties of a role for one quantity."""
        made, entry = dict(properties(role)), self.catalogue.entries.get(key)
        if role in ("missing", "gap"):
            made["num_format"] = look()["numbers"]["formats"]["stage_missing"]
        elif role in VERDICTS:
            made["text_wrap" if wrap else "shrink"] = True
        elif entry is not None and role in NUMBERS:
            if role == "input" and entry.optional:
                made = dict(properties("optional_input"))
            made |= alignment(entry)
            numbers = number_format(entry, self.catalogue, self.family)
            if numbers != "General":
                made["num_format"] = numbers
        return made

    def drawn_away(self, key: str) -> float | str:
        """Return what a formula holds until it is computed: nothing, or a point outside a drawing."""
        return DRAWN[key] * self.away if key in DRAWN and not self.bare else ""

    @cached_property
    def away(self) -> float:
        """Where a point of a drawing stands that is not given: a drawing's store holds numbers only."""
        return float(self.plan.by_name["dial_away"].value)

    @cached_property
    def open_limit(self) -> float:
        """The figure that stands in for a limit that is not set."""
        return float(self.plan.by_name["open_limit"].value)

    def rules(self, page: Any, cells: Iterable[PlannedCell]) -> None:
        """Entry rules: what a cell accepts, and a prompt that says so."""
        groups: dict[str, list[PlannedCell]] = {}
        for cell in cells:
            if cell.is_input:
                groups.setdefault(cell.key, []).append(cell)
        for key, members in groups.items():
            rule = entry_rule(self.plan, key)
            rule["multi_range"] = areas(members)
            rule["input_message"] = in_lines(rule["input_message"])
            page.data_validation(members[0].row - 1, members[0].column - 1, members[0].row - 1,
                                 members[0].column - 1, rule)

    def tones(self, page: Any, cells: Sequence[PlannedCell]) -> None:
        """Let colour repeat what the words say: one rule for each word, over every cell that may hold it."""
        tones = {word: tone for tone, words in look()["tone"].items() for word in words}
        holders: dict[str, list[PlannedCell]] = {}
        used: dict[str, list[PlannedCell]] = {}
        for cell in cells:
            if cell.role in VERDICTS:
                entry = self.catalogue.entries.get(cell.key)
                for word in self.catalogue.words[entry.words] if entry else (cell.value,):
                    holders.setdefault(word, []).append(cell)
            elif cell.key.endswith(("_floor", "_ceiling")) and self.catalogue.entries[cell.key].of:
                used.setdefault("<=" if cell.key.endswith("_floor") else ">=", []).append(cell)
        required = [c for c in cells if c.is_input and not self.catalogue.entries[c.key].optional]
        if required:
            row, column = required[0].row - 1, required[0].column - 1
            page.conditional_format(row, column, row, column, {
                "type": "no_blanks", "format": self.format(filled_format()), "multi_range": areas(required),
            })
        for word, members in holders.items():
            wanted = tone_format(tones[word])
            if wanted:
                self.condition(page, members, "==", f'"{word}"', wanted)
        for criteria, members in used.items():
            bound = -self.open_limit if criteria == "<=" else self.open_limit
            self.condition(page, members, criteria, f"{bound:.0f}", {"num_format": NO_LIMIT_FORMAT})

    def condition(
        self, page: Any, cells: Sequence[PlannedCell], criteria: str, value: str, wanted: Mapping[str, Any]
    ) -> None:
        """Let cells look different where their own value meets a condition."""
        row, column = cells[0].row - 1, cells[0].column - 1
        rule = {"type": "cell", "criteria": criteria, "value": value, "format": self.format(wanted),
                "multi_range": areas(cells)}
        page.conditional_format(row, column, row, column, rule)

    def tell(self, page: Any, rule: Telling) -> None:
        """Let a cell show more digits where the verdict needs them."""
        row, column = rule.cell.row - 1, rule.cell.column - 1
        wanted = self.format({"num_format": rule.number_format})
        rules = {"type": "formula", "criteria": f"={rule.condition}", "format": wanted}
        page.conditional_format(row, column, row, column, rules)

    def birth_record(self) -> None:
        page = self.book.add_worksheet(BIRTH_SHEET)
        rows = [*birth_rows(self.plan), *self.seal]
        for row, (key, value) in enumerate(rows):
            page.write_string(row, 0, key)
            page.write_string(row, 1, value)
        page.protect("", PROTECTION)
        page.very_hidden()
        self.book.set_properties({"title": f"{PROGRAM} workbook", "comments": f"plan {self.plan.digest}"})
        self.book.set_custom_property("boreledger template", str(self.plan.version), "text")
        self.book.set_custom_property("boreledger plan", self.plan.digest, "text")


def areas(cells: Iterable[PlannedCell]) -> str:
    """Return the cells as few rectangles of a sheet, the way a file lists them.

    Examples
    --------
    >>> areas([PlannedCell(sheet="", row=r, column=c, role="") for r in (4, 5, 7) for c in (2, 3)])
    'B4:C5 B7:C7'
    """
    rows: dict[int, list[int]] = {}
    for cell in cells:
        rows.setdefault(cell.row, []).append(cell.column)
    runs: dict[tuple[int, int], list[list[int]]] = {}
    for row in sorted(rows):
        columns = sorted(rows[row])
        start = columns[0]
        for column, following in zip(columns, [*columns[1:], 0], strict=True):
            if following != column + 1:
                found = runs.setdefault((start, column), [])
                if found and found[-1][1] == row - 1:
                    found[-1][1] = row
                else:
                    found.append([row, row])
                start = following
    return " ".join(
        xl_range(first - 1, left - 1, last - 1, right - 1)
        for (left, right), found in runs.items()
        for first, last in found
    )
