"""A formula is not the one that was written.

What it finds: a formula cell whose formula says something else, however a program spells it.
Why it matters: its result, and all that rests on it, is no longer what it says it is. The formula is
compared and never run; verdicts in the report come from the formula as it was written.
Example: =bore_mean_1-piston_size_1 where the smallest thrust-axis bore belongs.
What to do: put the formula back, or take the readings over into the workbook that was issued.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity
from validators.together import together

CODE = "CELL02"
NAME = "formula-changed"
SEVERITY = Severity.BLOCKS
TODO = "Put the formula back, or take the readings over into the workbook that was issued."


def find(sheet: Checked) -> Iterator[Note]:
    """List formulas that were changed."""
    return together(sheet, _changed(sheet))


def _changed(sheet: Checked) -> Iterator[Note]:
    for key, altered in sheet.altered.items():
        if altered.how == "changed":
            yield Note(
                place=sheet.place(altered.cell),
                quantity=altered.cell.name,
                found=f"the formula {altered.now}",
                expected=altered.cell.formula,
                todo=TODO,
                holds_up=sheet.holds_up([key]),
            )
