"""A deviation stands where a size belongs, or the other way round.

What it finds: a value under a twentieth of the nominal where the gauges sheet says "size", or beyond the dial's travel where it says "deviation".
Why it matters: the gauges sheet says how a kind of reading is typed; one cell that differs gives no size.
Example: 0.012 among whole bore sizes.
What to do: enter it in the form that the gauges sheet names, or change the form for the whole row. Deviations are under 1 mm and sizes over 5 mm: no false alarms in practice.
"""

from __future__ import annotations

from collections.abc import Iterator
import math

from validators.expected import SHARE, form_feature
from validators.readings import nominal_of
from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "READ06"
NAME = "size-or-deviation"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """Compare every sized reading with the form its gauge row names."""
    plan = sheet.plan
    travel = plan.by_name["dial_travel"].value
    for name, reading in sheet.entries.items():
        cell, value = reading.planned, reading.value
        feature = form_feature(cell.key)
        if feature is None or not isinstance(value, float):
            continue
        form = sheet.values.get(f"entry_form_{feature}")
        nominal = nominal_of(plan, plan.catalogue.entries[cell.key], cell.index, sheet.values)
        unit = plan.unit(cell.key)
        if form == "size" and nominal is not None and value < SHARE * nominal:
            if value > 0 and abs(math.log(value / nominal) + math.log(25.4)) < 0.05:
                continue
            setting = sheet.values.get(f"setting_size_{feature}") or nominal
            found = f"{value:.10g} {unit}, a deviation? From {setting:.6g} {unit} it would be {setting + value:.6g} {unit}"
            expected = f"a whole size near {nominal:.6g} {unit}"
        elif form == "deviation" and abs(value) > travel:
            found = f"{value:.10g} {unit}, a whole size?"
            expected = f"a deviation from the setting size, at most {travel:.6g} {unit}"
        else:
            continue
        yield Note(
            place=sheet.place(cell),
            quantity=name,
            found=found,
            expected=expected,
            todo="Enter it in the form that the gauges sheet names for this gauge.",
            holds_up=sheet.holds_up([name]),
        )
