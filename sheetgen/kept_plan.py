"""A plan in which nothing is given, as plain data and back: it is laid out once, not at each start."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import astuple
from typing import Any, NamedTuple

from sheetgen.layout import Layout
from sheetgen.planned import Band, PlannedCell, PlannedSheet
from sheetgen.sources import edition
from sheetgen.template import Template
from sheetgen.user_cache import Keeping, digest_of

DefinedNames = Mapping[str, tuple[str, tuple[int, int], tuple[int, int]]]
DAMAGED = (ArithmeticError, AttributeError, LookupError, TypeError, ValueError)
"""What making a plan of data that are none may raise."""


class LaidOut(NamedTuple):
    """What follows from templates and layout."""

    sheets: tuple[PlannedSheet, ...]
    cells: tuple[PlannedCell, ...]
    names: DefinedNames
    stage_inputs: Mapping[str, tuple[str, ...]]


def keeping_of(layout: Layout, family: str, left_out: Sequence[str], version: int) -> Keeping:
    """Return where the plan of a layout and family is kept."""
    key = digest_of([edition(), repr(layout), family, repr(tuple(left_out)), str(version)])
    return Keeping("plan", key, edition())


def to_data(found: LaidOut) -> dict[str, Any]:
    """Return a plan as lists, numbers and words; each index and title is said once."""
    titles = {sheet.template.title: number for number, sheet in enumerate(found.sheets)}
    indices: dict[Any, int] = {}
    cells = [
        [titles[cell.sheet], indices.setdefault(cell.index, len(indices)), cell.row, cell.column, cell.role,
         cell.name, cell.key, cell.formula, cell.value, cell.label, cell.columns, cell.rows, cell.link]
        for cell in found.cells
    ]
    named = {cell.name for cell in found.cells}
    return {
        "sheets": [
            [sheet.template.stem, sheet.columns, sheet.rows, [astuple(band) for band in sheet.bands]]
            for sheet in found.sheets
        ],
        "indices": list(indices),
        "cells": cells,
        "ranges": [[name, *at] for name, at in found.names.items() if name not in named],
        "stage_inputs": found.stage_inputs,
    }


def from_data(data: Any, templates: Sequence[Template]) -> LaidOut | None:
    """Return the plan that data describe, None when they describe none."""
    try:
        by_stem = {template.stem: template for template in templates}
        sheets = tuple(
            PlannedSheet(by_stem[stem], columns, rows, tuple(Band(*band) for band in bands))
            for stem, columns, rows, bands in data["sheets"]
        )
        titles = [sheet.template.title for sheet in sheets]
        indices = [_tuples(index) for index in data["indices"]]
        cells = tuple(
            PlannedCell(
                sheet=titles[sheet], index=indices[index], row=row, column=column, role=role, name=name,
                key=key, formula=formula, value=value, label=label, columns=columns, rows=rows, link=link,
            )
            for sheet, index, row, column, role, name, key, formula, value, label, columns, rows, link
            in data["cells"]
        )
        names: dict[str, tuple[str, tuple[int, int], tuple[int, int]]] = {
            cell.name: (cell.sheet, (cell.row, cell.column), (cell.row, cell.column))
            for cell in cells if cell.name
        }
        for name, title, (first, left), (last, right) in data["ranges"]:
            names[name] = title, (first, left), (last, right)
        stage_inputs = {stem: tuple(keys) for stem, keys in data["stage_inputs"].items()}
    except DAMAGED:
        return None
    return LaidOut(sheets, cells, names, stage_inputs)


def _tuples(item: Any) -> Any:
    return tuple(_tuples(part) for part in item) if isinstance(item, list) else item
