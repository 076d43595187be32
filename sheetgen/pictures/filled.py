"""The two engines of the contact pictures with everything filled in.

What is typed stands in `filled`, one file for each engine: invented readings, sound but for a few places, so
that words that hold the assembly are on the pictures too.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from sheetgen.build_values import values_of
from sheetgen.errors import DefinitionError, nearest
from sheetgen.fill import fill_workbook
from sheetgen.naming import element_name
from sheetgen.plan import Plan
from sheetgen.sources import read_toml
from sheetgen.workbook import workbook_bytes

FOLDER = Path(__file__).with_name("filled")
THE_REST = "*"
"""In a table by element: what all elements have that it does not name."""


def filled_book(plan: Plan, path: Path) -> bytes:
    """Return a workbook into which everything that a file says is typed."""
    return fill_workbook(workbook_bytes(plan), plan, dict(typed(plan, path)))


def typed(plan: Plan, path: Path) -> Iterator[tuple[str, Any]]:
    """Yield cell name and value of everything that a file says, each as strict as in a build file.

    Raises
    ------
    DefinitionError
        No such entry, a value that cannot be right, or more or fewer of them than there are cells.
    """
    build, catalogue = plan.build, plan.catalogue
    for key, value in read_toml(path).items():
        entry = catalogue.entries.get(key)
        if entry is None or not entry.is_input:
            raise DefinitionError(path.name, f"'{key}' is no entry{nearest(key, catalogue.entries)}")
        given = value
        if isinstance(value, dict) and THE_REST in value:
            given = {
                label: value.get(label, value[THE_REST])
                for label in build.layout.labels(entry.over[0], catalogue)
            }
        for index, item in values_of(entry, given, build.layout, build.family, catalogue, path.name):
            name = element_name(key, index)
            yield name, datetime.date.fromisoformat(item) if entry.text == "date" else item
