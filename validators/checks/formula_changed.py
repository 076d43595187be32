"""A formula is not the one that was written.

What it finds: a formula cell whose formula says something else, whatever program rewrote its spelling.
Why it matters: its result, and all that rests on it, is no longer what the reference core stands for. The formula is compared and never run.
Example: =bore_mean_1-piston_size_1 where the smallest thrust-axis bore belongs.
What to do: take the readings over into the workbook that was issued.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.errors import quoted
from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "CELL02"
NAME = "formula-changed"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """List formulas that were changed."""
    for name, (cell, how, now) in sheet.altered.items():
        if how == "changed":
            yield Note(
                place=sheet.place(cell),
                quantity=name,
                found=f"the formula {quoted(now, 120)}",
                expected=cell.formula,
                todo="Put the formula back, or take the readings over into the workbook that was issued.",
                holds_up=sheet.holds_up([name]),
            )
