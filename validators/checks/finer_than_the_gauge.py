"""A reading is finer than its gauge shows.

What it finds: a reading that is no multiple of the resolution on the gauges sheet, where it is not an average
of several. For information only where it is half a division, which can be read between two lines.
Why it matters: the reading was converted, or came from another gauge than the one that is named, and then
the uncertainty that guards the verdict is not the right one.
Example: 86.0123 mm, where the bore gauge shows 0.001 mm.
What to do: type the reading as the gauge shows it, or correct the resolution. A reading that is typed as
shown never does this, so there are no false alarms where the resolution is right.
"""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen.plan import PlannedCell
from validators.checked import Checked
from validators.expected import FORM_FEATURE
from validators.findings import Note, Severity
from validators.together import together

CODE = "READ21"
NAME = "finer-than-the-gauge"
SEVERITY = Severity.LOOK
FEATURES = {**FORM_FEATURE, "deck_reading": "deck", "rocked_reading": "deck"}
"""Readings with the row of their gauge; ring gaps are built from leaves, which have no divisions."""

NEAR = 0.02
"""How near to a whole number of divisions counts as one: a stored number is off by far less."""


def find(sheet: Checked) -> Iterator[Note]:
    """Compare each single reading with the resolution of its gauge."""
    return together(sheet, _finer(sheet))


def _finer(sheet: Checked) -> Iterator[Note]:
    for key, feature in FEATURES.items():
        step = sheet.values.get(f"gauge_resolution_{feature}")
        if not isinstance(step, float) or step <= 0:
            continue
        if sheet.values.get(f"gauge_repeat_count_{feature}") != 1.0:
            continue
        if {f"gauge_resolution_{feature}", f"gauge_repeat_count_{feature}"} & sheet.unusable:
            continue
        for cell in sheet.plan.by_key[key]:
            value = sheet.values[cell.name]
            if not isinstance(value, float) or cell.name in sheet.unusable or _whole(value / step):
                continue
            yield _note(sheet, cell, value, step, half=_whole(2 * value / step))


def _whole(divisions: float) -> bool:
    return abs(divisions - round(divisions)) <= NEAR


def _note(sheet: Checked, cell: PlannedCell, value: float, step: float, *, half: bool) -> Note:
    unit, where = sheet.plan.unit(cell.key), "half a division" if half else "between the divisions"
    return Note(
        place=sheet.place(cell),
        quantity=cell.name,
        severity=Severity.INFORMATION if half else None,
        found=f"{value:.10g} {unit}, {where} of a gauge that shows {step:.6g} {unit}",
        expected="a reading as the gauge shows it, or the number of readings that were averaged",
        todo="Type what the gauge showed, or correct its resolution on the gauges sheet.",
    )
