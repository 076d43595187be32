"""What an entry cell expects, in words and numbers, and which whole sizes have a nominal to be near."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from sheetgen.plan import Plan, PlannedCell
from validators.readings import FEATURE_OF, TYPED_BY_FORM, nominal_of

if TYPE_CHECKING:
    from validators.checked import Checked

SHARE = 0.05
"""Under this share of its nominal, a value is no size but a deviation."""


def hard_range(plan: Plan, cell: PlannedCell) -> tuple[float, float] | None:
    """Return the range outside which an entry cannot be right, in the shown unit."""
    entry = plan.catalogue.entries[cell.key]
    measure = plan.catalogue.measure_of(cell.key)
    if entry.range is None or measure is None:
        return None
    low, high = (measure.from_millimetre(x, plan.build.family) for x in entry.range)
    return low, high


def expected_text(plan: Plan, cell: PlannedCell) -> str:
    """Return what an entry cell expects, as a person would say it."""
    entry = plan.catalogue.entries[cell.key]
    if entry.words:
        return "one of " + ", ".join(plan.catalogue.words[entry.words])
    if entry.text == "date":
        return "a date"
    if entry.text:
        return "a text"
    unit = plan.unit(cell.key)
    limits = hard_range(plan, cell)
    if limits is None:
        return f"a number in {unit}" if unit else "a number"
    low, high = limits
    if form_feature(cell.key) is not None:
        return f"a number in {unit}: a size, or a deviation if the gauges sheet says so"
    return f"a number between {low:.6g} and {high:.6g} {unit}".rstrip()


def form_feature(key: str) -> str | None:
    """Return the row of the gauges sheet that says how an entry is typed, None if none does."""
    if key in TYPED_BY_FORM:
        return FEATURE_OF[key]
    if key.endswith("_installed_bore"):
        return key.replace("_installed_bore", "_housing")
    return None


def whole_sizes(sheet: Checked) -> Iterator[tuple[str, float, float, PlannedCell]]:
    """Return every entry that is a whole size with a known nominal: name, value, nominal, cell."""
    for name, reading in sheet.entries.items():
        cell, value = reading.planned, reading.value
        if not isinstance(value, float) or cell.key not in FEATURE_OF:
            continue
        feature = form_feature(cell.key)
        if feature is not None and sheet.values.get(f"entry_form_{feature}") != "size":
            continue
        nominal = nominal_of(sheet.plan, sheet.plan.catalogue.entries[cell.key], cell.index, sheet.values)
        if nominal is not None:
            yield name, value, nominal, cell
