"""A formula was deleted.

What it finds: a formula cell that is empty.
Why it matters: its result is missing in the sheet, and so is all that rests on it.
Example: the cell of the compression ratio of cylinder 3 is empty.
What to do: put the formula back, or take the readings over into the workbook that was issued.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity
from validators.together import together

CODE = "CELL04"
NAME = "formula-deleted"
SEVERITY = Severity.BLOCKS
TODO = "Put the formula back, or take the readings over into the workbook that was issued."


def find(sheet: Checked) -> Iterator[Note]:
    """List formulas that were deleted."""
    return together(sheet, _deleted(sheet))


def _deleted(sheet: Checked) -> Iterator[Note]:
    for key, altered in sheet.altered.items():
        if altered.how == "deleted":
            yield Note(
                place=sheet.place(altered.cell),
                quantity=altered.cell.name,
                found="an empty cell",
                expected=altered.cell.formula,
                todo=TODO,
                holds_up=sheet.holds_up([key]),
            )
