"""Values of a build file: one for all, a list or a table by element, each within what can be right."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from typing import Any

from sheetgen.catalogue import Catalogue, Entry
from sheetgen.errors import DefinitionError, nearest
from sheetgen.layout import LISTED, Index, Layout, stage_labels


def values_of(
    entry: Entry, value: Any, layout: Layout, family: str, catalogue: Catalogue, where: str
) -> Iterator[tuple[Index, Any]]:
    """Yield index and value: a list or a table for each axis, or one value for all its elements.

    Raises
    ------
    DefinitionError
        A value that cannot be right, or more or fewer of them than there are elements.
    """
    labels = [
        stage_labels(catalogue) if axis == "stage" else layout.labels(axis, catalogue) for axis in entry.over
    ]
    for index, item in _spread(entry.key, value, labels, where):
        if item != "":
            yield index, _checked(entry, item, family, catalogue, where)


def _spread(
    key: str, value: Any, axes: Sequence[Sequence[str]], where: str, before: Index = ()
) -> Iterator[tuple[Index, Any]]:
    """Yield what stands for each element, axis by axis."""
    if not axes:
        yield before, value
        return
    labels, further = axes[0], axes[1:]
    if isinstance(value, list):
        if len(value) != len(labels):
            raise DefinitionError(where, f"{key} needs {len(labels)} values, {len(value)} given")
        pairs = list(zip(labels, value, strict=True))
    elif isinstance(value, dict):
        for label in value:
            if label not in labels:
                raise DefinitionError(where, f"{key} has no element '{label}'{nearest(label, labels)}")
        pairs = list(value.items())
    else:
        pairs = [(label, value) for label in labels]
    for label, item in pairs:
        yield from _spread(key, item, further, where, (*before, label))


def _checked(entry: Entry, value: Any, family: str, catalogue: Catalogue, where: str) -> Any:
    if entry.text == "date":
        if isinstance(value, datetime.date):
            return value.isoformat()[:10]
        raise DefinitionError(where, f"{entry.key} is a date, written 2031-05-28 without quotes")
    if entry.words or entry.list in LISTED:
        allowed = (
            catalogue.words[entry.words] if entry.words else [item["name"] for item in LISTED[entry.list]()]
        )
        if value not in allowed:
            raise DefinitionError(
                where,
                f"{entry.key} is one of {', '.join(allowed)}; {value!r} is not{nearest(str(value), allowed)}",
            )
        return value
    if entry.text:
        if not isinstance(value, str) or len(value) > 200:
            raise DefinitionError(where, f"{entry.key} is a text of at most 200 characters in quotes")
        return value
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise DefinitionError(where, f"{entry.key} is a number, {value!r} is not")
    measure = catalogue.measures[entry.measure]
    unit = measure.unit(family)
    if entry.range:
        low, high = (measure.from_millimetre(x, family) for x in entry.range)
        if not low <= value <= high:
            raise DefinitionError(
                where,
                f"{entry.key} = {value:g} {unit} is outside {low:.6g} to {high:.6g} {unit}; "
                f"this workbook is in the {family} family",
            )
    return value
