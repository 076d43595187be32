"""The entries of a returned workbook: where each stands now, what was typed, what it can stand for."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from openpyxl.utils import column_index_from_string

from sheetgen.build import Index
from sheetgen.catalogue import Entry
from sheetgen.plan import Plan, PlannedCell
from validators.returned import ReturnedCell, ReturnedWorkbook

TARGET = re.compile(r"^'?((?:[^'!]|'')+)'?!\$?([A-Z]{1,3})\$?(\d+)(?::\$?([A-Z]{1,3})\$?(\d+))?$")
NUMBER_IN_TEXT = re.compile(r"^[\s'’]*([+-]?\d{1,6}(?:[.,]\d{1,9})?)\s*(mm|in|inch|\"|”|''|°c|°|c|g|cm3|cm³|cc|ml)?\s*$", re.I)

Fault = Literal["", "text", "error", "bool", "formula", "word"]


@dataclass(frozen=True, slots=True)
class Located:
    """Where a named cell of the plan stands in the returned file; `cell` is None when it is gone."""

    sheet: str
    address: str
    cell: ReturnedCell | None
    moved: tuple[int, int] = (0, 0)


@dataclass(frozen=True, slots=True)
class Reading:
    """One entry: the value it can stand for (None: nothing usable), and what is wrong with it."""

    planned: PlannedCell
    located: Located
    value: float | str | None
    fault: Fault = ""


def locate(plan: Plan, workbook: ReturnedWorkbook) -> dict[str, Located]:
    """Find every named cell: by the name as it came back, else where the plan put it."""
    found: dict[str, Located] = {}
    sheets = {sheet.title.casefold(): sheet for sheet in workbook.sheets}
    for cell in plan.cells:
        if not cell.name:
            continue
        title, address, moved = cell.sheet, cell.address, (0, 0)
        target = TARGET.match(workbook.names.get(cell.name, ""))
        if target and not target.group(4):
            title = target.group(1).replace("''", "'")
            address = f"{target.group(2)}{target.group(3)}"
            moved = (
                int(target.group(3)) - cell.row,
                column_index_from_string(target.group(2)) - cell.column,
            )
        sheet = sheets.get(title.casefold())
        held = sheet.cells.get(address) if sheet is not None else None
        if sheet is not None and held is None:
            held = sheet.cell(address)
        lost = cell.name in workbook.names and target is None
        found[cell.name] = Located(title, address, None if lost else held, moved)
    return found


def number_in_text(text: str) -> tuple[float, str] | None:
    """Return the number, and its unit, that a text probably stands for.

    Examples
    --------
    >>> number_in_text("86,012"), number_in_text("99.52 mm"), number_in_text("about 3")
    ((86.012, ''), (99.52, 'mm'), None)
    """
    match = NUMBER_IN_TEXT.match(text)
    if match is None:
        return None
    return float(match.group(1).replace(",", ".")), (match.group(2) or "").lower()


def read_entries(plan: Plan, located: Mapping[str, Located]) -> dict[str, Reading]:
    """Return every entry of a returned workbook, with its fault if it has one."""
    return {
        cell.name: _read(plan, cell, located[cell.name]) for cell in plan.cells if cell.is_input
    }


def _read(plan: Plan, planned: PlannedCell, located: Located) -> Reading:
    entry, cell = plan.catalogue.entries[planned.key], located.cell
    if cell is None or (cell.kind == "blank" and cell.formula is None):
        return Reading(planned, located, None)
    if cell.formula is not None:
        return Reading(planned, located, None, "formula")
    if cell.kind == "error":
        return Reading(planned, located, None, "error")
    if cell.kind == "bool":
        return Reading(planned, located, None, "bool")
    if entry.measure:
        if cell.kind == "number":
            return Reading(planned, located, float(cell.value))  # type: ignore[arg-type]
        if not str(cell.value).strip():
            return Reading(planned, located, None, "text")
        return Reading(planned, located, None, "text")
    if entry.words:
        words = {word.casefold(): word for word in plan.catalogue.words[entry.words]}
        word = words.get(str(cell.value).casefold())
        return Reading(planned, located, word, "" if word else "word")
    value = cell.value
    if isinstance(value, str) and not value:
        return Reading(planned, located, None)
    return Reading(planned, located, value)  # type: ignore[arg-type]


def nominal_of(plan: Plan, entry: Entry, index: Index, values: Mapping[str, float | str | None]) -> float | None:
    """Return the nominal size that an entry should be near, in the shown unit, if one is known."""
    feature = FEATURE_OF.get(entry.key)
    if feature is None:
        return None
    value = values.get(f"nominal_size_{feature}")
    return value if isinstance(value, float) and value > 0 else None


FEATURE_OF = {
    "bore_reading": "bore",
    "bore_setting": "bore",
    "bore_present_largest": "bore",
    "bore_present_smallest": "bore",
    "piston_reading": "piston",
    "pin_hole_reading": "pin_hole",
    "pin_reading": "pin",
    "bush_reading": "bush",
    "main_journal_reading": "main_journal",
    "crankpin_reading": "crankpin",
    "main_housing_reading": "main_housing",
    "rod_housing_reading": "rod_housing",
    "main_wall_upper": "shell_wall",
    "main_wall_lower": "shell_wall",
    "rod_wall_upper": "shell_wall",
    "rod_wall_lower": "shell_wall",
    "main_grade_wall": "shell_wall",
}
"""Which nominal size an entry is compared with."""

TYPED_BY_FORM = {key for key in FEATURE_OF if key.endswith("_reading") or "_wall_" in key}
TYPED_BY_FORM -= {"main_grade_wall"}
"""Entries that may be a deviation, if their row of the gauges sheet says so."""
