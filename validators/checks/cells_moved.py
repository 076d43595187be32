"""Rows or columns were inserted or deleted.

What it finds: named cells that stand elsewhere than they were written.
Why it matters: readings are still found through the names, but printed texts beside them may belong to other cells now.
Example: a row was inserted above cylinder 3 on the sheet Bores.
What to do: take the readings over into the workbook that was issued.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "CELL10"
NAME = "cells-moved"
SEVERITY = Severity.LOOK


def find(sheet: Checked) -> Iterator[Note]:
    """Say once per sheet which cells moved first, and how far."""
    for planned in sheet.plan.sheets:
        title = planned.template.title
        moved = [
            cell
            for cell in sheet.plan.cells
            if cell.sheet == title and cell.name and sheet.located[cell.name].moved != (0, 0)
            and sheet.located[cell.name].cell is not None
        ]
        if not moved:
            continue
        rows, columns = sheet.located[moved[0].name].moved
        far = " and ".join(
            f"{abs(step)} {what}{'s' if abs(step) > 1 else ''} {way[step > 0]}"
            for step, what, way in ((rows, "row", ("up", "down")), (columns, "column", ("left", "right")))
            if step
        )
        yield Note(
            place=sheet.place(moved[0]),
            quantity=moved[0].name,
            found=f"{len(moved)} named cells stand elsewhere; the first moved {far}",
            expected=f"{moved[0].label} at {moved[0].address}",
            todo="Take the readings over into the workbook that was issued; do not insert or delete rows.",
        )
