"""The workbooks that are put to the office program: each is planned and written once in a run."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from functools import cache
from typing import cast

from sheetgen.build import new_build, presets
from sheetgen.catalogue import FAMILIES
from sheetgen.naming import element_name
from sheetgen.plan import Plan, PlannedCell, plan_workbook
from sheetgen.workbook import workbook_bytes
from tests.crosscheck.office import Typed, as_typed
from validators.random_builds import MOODS, random_entries
from validators.recompute import Recomputer, Shown

PRESETS = [(preset, family) for preset in presets() for family in FAMILIES]
ALTERNATING = [
    (preset, FAMILIES[number % len(FAMILIES)]) for number, preset in enumerate(presets())
]
"""Every preset, with millimetre and inch in turn."""

SHOWN_DIGITS = 8
"""More than any gauge shows, fewer than any program keeps."""


@cache
def recomputer_of(preset: str, family: str) -> Recomputer:
    """Return both recomputations of a preset's workbook, and its plan."""
    return Recomputer(plan_workbook(new_build(preset, family)))


def plan_of(preset: str, family: str) -> Plan:
    """Return the plan of a preset's workbook."""
    return recomputer_of(preset, family).plan


@cache
def issued(preset: str, family: str) -> bytes:
    """Return the workbook as it is sent out."""
    return workbook_bytes(plan_of(preset, family))


SETTLED = [n for n, mood in enumerate(MOODS) if not (mood.blank or mood.edge or mood.slip)]
UNSETTLED = [n for n in range(len(MOODS)) if n not in SETTLED]
"""Seeds of one build of each mood that scatters blanks, edges and slips."""


def natural_seed(number: int) -> int:
    """Return a seed whose random build has natural values and is filled in, but for a few entries.

    Another number gives another seed.
    """
    return number // len(SETTLED) * len(MOODS) + SETTLED[number % len(SETTLED)]


def as_sent(plan: Plan) -> dict[str, Shown]:
    """Return the entries of a workbook that nobody has filled in yet."""
    return {cell.name: cell.value for cell in plan.cells if cell.is_input}


def readings_of(plan: Plan, seed: int) -> dict[str, Typed]:
    """Return what the entries left open get in a natural build, as a gauge shows it.

    What the builder gave before the workbook was sent out is left as it is.
    """
    typed: dict[str, Typed] = {}
    for name, value in random_entries(plan, seed).items():
        cell = plan.by_name[name]
        if value is None or cell.value is not None:
            continue
        if plan.catalogue.entries[cell.key].text == "date":
            typed[name] = datetime.date.fromisoformat(str(value))
        elif isinstance(value, str):
            typed[name] = value
        elif plan.catalogue.entries[cell.key].measure:
            typed[name] = float(f"{value:.{SHOWN_DIGITS}g}") + 0.0  # nobody types a minus zero
        else:
            typed[name] = f"{value:g}"  # a mark that happens to be a number
    return typed


def keystrokes(
    plan: Plan, entries: Mapping[str, Typed], locale: str
) -> dict[tuple[str, str], str]:
    """Return where a person types what, sheet by sheet in the order of the workbook."""
    return {
        (cell.sheet, cell.address): as_typed(entries[cell.name], locale)
        for cell in plan.cells
        if cell.name in entries
    }


def shown_again(plan: Plan) -> dict[PlannedCell, str]:
    """Return the cells that show a figure again, and the name of the figure."""
    found = {}
    for cell in plan.cells:
        if cell.formula and cell.key and not cell.name:
            turn = dict(cast("tuple[tuple[str, str], ...]", cell.index))
            entry = plan.catalogue.entries[cell.key]
            found[cell] = element_name(cell.key, tuple(turn[axis] for axis in entry.over))
    return found
