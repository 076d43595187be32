"""Formulas made ready to be computed, as plain data and back: order, groups and plans; nothing that runs."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from validators.cell_values import CellKey
from validators.pattern_plans import plan_from_data, plan_to_data
from validators.replay import Compiled, Group

BLOCKS = 3
"""Axes of what a group reads: cells, and rows and columns of the block that each reads."""

DAMAGED = (ArithmeticError, AttributeError, LookupError, TypeError, ValueError)
"""What making formulas of data that are none may raise."""


def to_data(compiled: Compiled) -> dict[str, Any]:
    """Return compiled formulas as lists, numbers and words."""
    titles: dict[str, int] = {}
    numbers: dict[int, int] = {}
    plans: list[object] = []

    def places(cells: tuple[CellKey, ...]) -> list[list[Any]]:
        return [[titles.setdefault(sheet, len(titles)), address] for sheet, address in cells]

    groups = []
    for group in compiled.groups:
        number = numbers.setdefault(id(group.plan), len(plans))
        if number == len(plans):
            plans.append(plan_to_data(group.plan))
        groups.append([
            number, group.rows.tolist(), [[rows.shape, rows.ravel().tolist()] for rows in group.arguments]
        ])
    cells = [places(part) for part in (compiled.formula_cells, compiled.read, compiled.inputs)]
    return {"cells": cells, "titles": list(titles), "plans": plans, "groups": groups}


def from_data(data: Any) -> Compiled | None:
    """Return the compiled formulas that data describe, None when they describe none."""
    try:
        titles = [str(title) for title in data["titles"]]
        formula_cells, read, inputs = (
            tuple((titles[title], str(address)) for title, address in part) for part in data["cells"]
        )
        plans = [plan_from_data(plan) for plan in data["plans"]]
        height = len(formula_cells) + len(read)
        groups = []
        for number, rows, arguments in data["groups"]:
            group = Group(plans[number], _rows(rows, (len(rows),), len(formula_cells)),
                          tuple(_rows(flat, shape, height) for shape, flat in arguments))
            if len(arguments) != group.plan.places or any(
                part.ndim != BLOCKS or len(part) != len(rows) for part in group.arguments
            ):
                return None
            groups.append(group)
    except DAMAGED:
        return None
    return Compiled(formula_cells, read, inputs, tuple(groups))


def _rows(flat: Any, shape: Any, height: int) -> NDArray[np.intp]:
    """Return numbers of rows, all of which there are."""
    if not all(type(n) is int for n in flat) or math.prod(shape) != len(flat):
        raise ValueError("not numbers of rows")
    rows = np.array(flat, np.intp).reshape(tuple(shape))
    if rows.size and not 0 <= rows.min() <= rows.max() < height:
        raise ValueError("there are no such rows")
    return rows
