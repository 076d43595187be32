"""A formula was typed over.

What it finds: a formula cell that holds a typed value.
Why it matters: the value no longer follows the readings, and looks as if it did. Verdicts in the report
come from the formula as it was written.
Example: 0.055 typed over the piston clearance of cylinder 2.
What to do: put the formula back, or take the readings over into the workbook that was issued.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.cell_values import ErrorValue
from validators.checked import Checked
from validators.findings import Note, Severity
from validators.places import cell_key
from validators.together import together

CODE = "CELL03"
NAME = "formula-replaced"
SEVERITY = Severity.BLOCKS
TODO = "Put the formula back, or take the readings over into the workbook that was issued."


def find(sheet: Checked) -> Iterator[Note]:
    """List formulas that were replaced by a value."""
    return together(sheet, _replaced(sheet))


def _replaced(sheet: Checked) -> Iterator[Note]:
    for key, altered in sheet.altered.items():
        if altered.how == "value":
            yield Note(
                place=sheet.place(altered.cell),
                quantity=altered.cell.name,
                found=f"{altered.now} typed over the formula{_computed(sheet, cell_key(altered.cell))}",
                expected=altered.cell.formula,
                todo=TODO,
                holds_up=sheet.holds_up([key]),
            )


def _computed(sheet: Checked, key: str) -> str:
    """Return what the formula gives from the entries, told behind what was typed."""
    value = sheet.reference.get(key, sheet.recalculated.get(key))
    if value is None or value == "" or isinstance(value, ErrorValue):
        return "; the entries give nothing"
    if isinstance(value, float):
        cell = sheet.plan.by_name.get(key)
        unit = sheet.plan.unit(cell.key) if cell else ""
        return f"; the entries give {value:.6g} {unit}".rstrip()
    return f"; the entries give '{value}'"
