"""The decimal point seems to have slipped.

What it finds: a size that is 10, 100 or 1000 times too big or too small against its nominal.
Why it matters: such a size is left out, or spoils a clearance.
Example: 860.12 for 86.012 mm.
What to do: retype it. The rule fires when ln(size/nominal) is within 0.05 of a power of ten; it has no false alarms on sizes.
"""

from __future__ import annotations

from collections.abc import Iterator
import math

from validators.expected import whole_sizes
from validators.checked import Checked
from validators.findings import Note, Severity

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
NEAR = 0.05
TODO = "Retype it."

def find(sheet: Checked) -> Iterator[Note]:
    """Compare whole sizes with their nominal size."""
    for name, value, nominal, cell in whole_sizes(sheet):
        if value <= 0:
            continue
        away = math.log(value / nominal)
        for factor, told in FACTORS:
            if abs(away - math.log(factor)) < NEAR:
                unit = sheet.plan.unit(cell.key)
                yield Note(
                    place=sheet.place(cell),
                    quantity=name,
                    found=f"{value:.10g} {unit}, {told}: it would be {value / factor:.6g} {unit}",
                    expected=f"a size near the nominal {nominal:.6g} {unit}",
                    todo=TODO,
                    holds_up=sheet.holds_up([name]),
                )
                break
