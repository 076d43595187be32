"""The invented engine of the demo: its plan, and what is typed into a copy of its workbook."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from sheetgen.build import read_build
from sheetgen.errors import DefinitionError
from sheetgen.layout import indices
from sheetgen.naming import element_name
from sheetgen.plan import Plan, plan_workbook
from sheetgen.sources import TEMPLATES, read_toml

FOLDER = TEMPLATES / "demo"


def demo_plan() -> Plan:
    """Return the plan of the demo's workbook."""
    return plan_workbook(read_build(FOLDER / "build.toml"))


def demo_entries(plan: Plan, sections: Iterable[str]) -> dict[str, Any]:
    """Return what is typed into one copy, by the sections of the readings: cell name to value."""
    data = read_toml(FOLDER / "readings.toml")
    entries: dict[str, Any] = {}
    for section in sections:
        for key, value in data[section].items():
            if key in plan.catalogue.entries and not isinstance(value, str | float | int | datetime.date):
                entries.update(spread(plan, key, value))
            elif key in plan.catalogue.entries and not plan.catalogue.entries[key].over:
                entries[key] = value
            else:
                entries[key] = value
    return entries


def spread(plan: Plan, key: str, value: Any) -> Iterator[tuple[str, Any]]:
    """Return cell name and value for a quantity given as nested lists or as a table by element."""
    entry = plan.catalogue.entries[key]
    places = indices(entry, plan.build.layout, plan.catalogue)
    if isinstance(value, Mapping):
        for place in places:
            if place[0] in value or "*" in value:
                yield element_name(key, place), value.get(place[0], value.get("*"))
        return
    flat = list(_flat(value))
    if len(flat) != len(places):
        raise DefinitionError("readings.toml", f"{key} needs {len(places)} values, {len(flat)} given")
    for place, item in zip(places, flat, strict=True):
        yield element_name(key, place), item


def _flat(value: Any) -> Iterator[Any]:
    if isinstance(value, list):
        for item in value:
            yield from _flat(item)
    else:
        yield value
