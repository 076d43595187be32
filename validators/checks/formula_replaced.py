"""A formula was typed over.

What it finds: a formula cell that holds a typed value.
Why it matters: the value no longer follows the readings, and looks as if it did.
Example: 0.055 typed over the piston clearance of cylinder 2.
What to do: clear the value and put the formula back, or use the workbook that was issued.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.errors import quoted
from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "CELL03"
NAME = "formula-replaced"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """List formulas that were replaced by a value."""
    for name, (cell, how, now) in sheet.altered.items():
        if how == "value":
            computed = sheet.reference.get(name)
            told = f"; the readings give {computed}" if computed not in (None, "") else ""
            if isinstance(computed, float):
                told = f"; the readings give {computed:.6g} {sheet.plan.unit(cell.key)}".rstrip()
            yield Note(
                place=sheet.place(cell),
                quantity=name,
                found=f"{quoted(now, 120)[1:-1]} typed over the formula{told}",
                expected=cell.formula,
                todo="Put the formula back, or take the readings over into the workbook that was issued.",
                holds_up=sheet.holds_up([name]),
            )
