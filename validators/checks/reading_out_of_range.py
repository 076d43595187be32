"""A number cannot be right.

What it finds: a number outside the range of what such a thing can be, that no other rule explains.
Why it matters: a size outside physical sense is left out of every result.
Example: a part temperature of -4 °C.
What to do: measure again, or retype it.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checks import other_scale, other_unit, point_moved, size_or_deviation
from validators.expected import expected_text, hard_range
from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "READ03"
NAME = "reading-out-of-range"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """List numbers outside their hard range, unless a more telling rule has spoken."""
    told = {note.quantity for rule in (other_unit, point_moved, size_or_deviation, other_scale)
            for note in rule.find(sheet)}
    for name, reading in sheet.entries.items():
        value, cell = reading.value, reading.planned
        limits = hard_range(sheet.plan, cell)
        if not isinstance(value, float) or limits is None or name in told:
            continue
        if not limits[0] <= value <= limits[1]:
            unit = sheet.plan.unit(cell.key)
            yield Note(
                place=sheet.place(cell),
                quantity=name,
                found=f"{value:.10g} {unit}".rstrip(),
                expected=expected_text(sheet.plan, cell),
                todo="Measure again, or retype it.",
                holds_up=sheet.holds_up([name]),
            )
