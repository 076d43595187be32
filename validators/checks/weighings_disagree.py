"""The two ends of a rod do not weigh what the whole rod weighs.

What it finds: a rod whose ends together differ from the whole by more than twice what the scale can tell.
Why it matters: the rod was not level, or leant on a scale: how it splits into what turns and what goes up
and down is not to be trusted, and the bob-weights follow from it.
Example: rod 3: 428.2 g and 157.1 g at its ends, 585.0 g as a whole.
What to do: weigh the rod again, level, carried on rollers at the bore centres.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity
from validators.judged import apart_digits, shown_digits

CODE = "READ15"
NAME = "weighings-disagree"
SEVERITY = Severity.LOOK
DISAGREE = "weighings disagree"


def find(sheet: Checked) -> Iterator[Note]:
    """List rods whose weighings disagree."""
    resolution = sheet.values.get("scale_resolution")
    for cell in sheet.plan.by_key["rod_weighing_state"]:
        closure = sheet.reference.get(f"rod_weighing_closure_{cell.index[0]}")
        if sheet.reference.get(cell.name) != DISAGREE or cell.name in sheet.spoilt:
            continue
        if not isinstance(closure, float) or not isinstance(resolution, float):
            continue
        unit, shown = sheet.plan.unit("rod_weighing_closure"), shown_digits(sheet, "rod_weighing_closure")
        digits = apart_digits(shown, (abs(closure), 2 * resolution))
        more = "more" if closure > 0 else "less"
        yield Note(
            place=sheet.place(cell),
            quantity=cell.name,
            found=f"the ends weigh {abs(closure):.{digits}f} {unit} {more} than the whole",
            expected=f"no more than twice the scale's resolution apart, {2 * resolution:.{digits}f} {unit}",
            todo="Weigh the rod again, level, carried on rollers at the bore centres.",
        )
