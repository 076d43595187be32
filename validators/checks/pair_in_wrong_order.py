"""The greater of two readings is smaller than the lesser.

What it finds: a crankpin height at top under that at bottom, a greatest runout under the least, a largest
present bore under the smallest, an end float dial that went back when the crank went forward.
Why it matters: each stands in the cell of the other, and a stroke, a runout or an end float comes out wrong.
Example: crankpin 2 is 259.00 mm high at top and 341.01 mm at bottom.
What to do: look which is which, and exchange them. The greater reading is never smaller, so there are no
false alarms; two readings that are equal are passed over.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity
from validators.together import together

CODE = "READ23"
NAME = "pair-in-wrong-order"
SEVERITY = Severity.LOOK
PAIRS = (
    ("bore_present_largest", "bore_present_smallest"), ("throw_height_top", "throw_height_bottom"),
    ("runout_greatest", "runout_least"), ("end_float_fore", "end_float_aft"),
)
"""The greater and the lesser reading of a pair."""


def find(sheet: Checked) -> Iterator[Note]:
    """Compare the two readings of each pair."""
    return together(sheet, _swapped(sheet))


def _swapped(sheet: Checked) -> Iterator[Note]:
    for greater, lesser in PAIRS:
        unit = sheet.plan.unit(greater)
        for upper, lower in zip(sheet.plan.by_key[greater], sheet.plan.by_key[lesser], strict=True):
            high, low = sheet.values[upper.name], sheet.values[lower.name]
            if not isinstance(high, float) or not isinstance(low, float) or high >= low:
                continue
            if {upper.name, lower.name} & sheet.unusable:
                continue
            yield Note(
                place=sheet.place(upper),
                quantity=upper.name,
                found=f"{high:.10g} {unit}, and {sheet.label(lower)} is {low:.10g} {unit}",
                expected="the greater of the two readings here",
                todo="Look which is which, and exchange them.",
            )
