"""The decimal point seems to have slipped.

What it finds: a size that is 10, 100 or 1000 times too big, or 10 or 100 times too small, against what it
should be near. Where every reading of a kind is off alike, the nominal size is what slipped.
Why it matters: such a size is left out, or spoils a clearance.
Example: 860.12 for 86.012 mm.
What to do: retype it. True sizes lie within 2 % of nominal and the rule fires within 5 % of a power of
ten, so it has no false alarms on sizes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from sheetgen.plan import PlannedCell
from validators.checked import Checked
from validators.expected import NEAR_A_GAP, SIZED, is_size, nominal_of
from validators.findings import Note, Severity
from validators.slips import Slip, alike, replace_by_cause, slipped
from validators.together import together

CODE = "READ05"
NAME = "decimal-point-moved"
SEVERITY = Severity.BLOCKS
FACTORS = (
    (10.0, "the decimal point has moved"),
    (0.1, "the decimal point has moved"),
    (100.0, "the decimal point has moved"),
    (0.01, "the decimal point has moved"),
    (1000.0, "the decimal point was read as thousands"),
)
EXACT = 0.005
"""A small value that could be a deviation is a moved point only when it fits as close as this."""


def find(sheet: Checked) -> Iterator[Note]:
    """List sizes whose decimal point moved."""
    return together(sheet, slipped(sheet, CODE))


def slip(sheet: Checked, cell: PlannedCell, value: float, found: Mapping[str, Slip]) -> Slip | None:
    """Return what to say of a number if its decimal point seems to have moved."""
    nominal = nominal_of(sheet, cell) if value > 0 and is_size(sheet, cell) else None
    if nominal is None or any(name in found for name in nominal.rests_on):
        return None
    away = math.log(value / nominal.value)
    travel = sheet.plan.by_name["dial_travel"].value
    near = min(nominal.near, EXACT) if value <= travel and nominal.near != NEAR_A_GAP else nominal.near
    unit = sheet.plan.unit(cell.key)
    for factor, told in FACTORS:
        if abs(away - math.log(factor)) < near:
            note = Note(
                place=sheet.place(cell),
                quantity=cell.name,
                found=f"{value:.10g} {unit}, {told}: it would be {value / factor:.6g} {unit}",
                expected=f"a size near {nominal.value:.6g} {unit} ({nominal.called})",
                todo="Retype it.",
                holds_up=sheet.holds_up([cell.name]),
            )
            return Slip(CODE, note, factor, value / factor)
    return None


def trace(sheet: Checked, found: dict[str, Slip]) -> None:
    """Where every reading of a kind is off by one power of ten, put the slip at the nominal size."""
    for key, feature in SIZED.items():
        entered = [cell.name for cell in sheet.plan.by_key[key] if isinstance(sheet.values[cell.name], float)]
        cause = f"nominal_size_{feature}"
        value = sheet.values.get(cause)
        if not alike(found, entered, CODE) or cause in found or not isinstance(value, float):
            continue
        first, cell = found[entered[0]], sheet.plan.by_name[cause]
        unit, factor = sheet.plan.unit(cell.key), first.factor or 1.0
        note = Note(
            place=sheet.place(cell),
            quantity=cause,
            found=f"{value:.10g} {unit}, {_times(factor)} all {len(entered)} readings",
            expected=f"a size near {sheet.values[entered[0]]:.6g} {unit}, as was measured",
            todo="Look which of the two is right, and retype it.",
            holds_up=sheet.holds_up([cause, *entered]),
        )
        replace_by_cause(found, entered, cause, Slip(CODE, note, 1 / factor, value * factor))


def _times(factor: float) -> str:
    return f"{factor:g} times smaller than" if factor > 1 else f"{1 / factor:g} times bigger than"
