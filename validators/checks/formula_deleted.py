"""A formula was deleted.

What it finds: a formula cell that is empty.
Why it matters: its result is missing and so is all that rests on it.
Example: the cell of the compression ratio of cylinder 4 is empty.
What to do: put the formula back, or use the workbook that was issued.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "CELL04"
NAME = "formula-deleted"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """List formulas that were deleted."""
    for name, (cell, how, _) in sheet.altered.items():
        if how == "deleted":
            yield Note(
                place=sheet.place(cell),
                quantity=name,
                found="an empty cell",
                expected=cell.formula,
                todo="Put the formula back, or take the readings over into the workbook that was issued.",
                holds_up=sheet.holds_up([name]),
            )
