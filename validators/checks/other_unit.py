"""A size seems to be in the other unit.

What it finds: a size that is 25.4 times too big or too small against its nominal.
Why it matters: inches in a millimetre cell make every result nonsense, and sometimes plausible nonsense.
Example: 3.386 in a cell that wants about 86 mm.
What to do: enter it in the unit of the workbook. The rule fires when ln(size/nominal) is within 0.05 of ±ln 25.4: true sizes lie within 2 % of nominal, so it has no false alarms in practice.
"""

from __future__ import annotations

from collections.abc import Iterator
import math

from validators.expected import whole_sizes
from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "READ04"
NAME = "other-unit"
SEVERITY = Severity.BLOCKS


FACTORS = ((25.4, "looks like millimetres"), (1 / 25.4, "looks like inches"))
NEAR = 0.05
TODO = "Enter it in the unit of this workbook."

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
