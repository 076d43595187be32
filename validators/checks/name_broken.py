"""Names of cells are missing or point nowhere.

What it finds: defined names that were deleted, or whose cells were deleted.
Why it matters: formulas speak in names: without them they cannot compute, and readings cannot be found.
Example: the row of cylinder 3 was deleted, so bore_reading_3_top_thrust points nowhere.
What to do: use the workbook that was issued, and do not delete rows.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "CELL05"
NAME = "name-broken"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """List names that are missing or broken, once per sheet."""
    names = sheet.returned.names
    for planned in sheet.plan.sheets:
        title = planned.template.title
        cells = [cell for cell in sheet.plan.cells if cell.sheet == title and cell.name]
        missing = [cell for cell in cells if cell.name not in names]
        nowhere = [cell for cell in cells if cell.name in names and sheet.located[cell.name].cell is None]
        for listed, what in ((missing, "are missing"), (nowhere, "point nowhere")):
            if not listed:
                continue
            told = ", ".join(f"{cell.name} ({cell.label})" for cell in listed[:3])
            more = f" and {len(listed) - 3} more" if len(listed) > 3 else ""
            yield Note(
                place=sheet.of_file(title, listed[0].label),
                quantity=listed[0].name,
                severity=Severity.LOOK if what == "are missing" else None,
                found=f"{len(listed)} names {what}: {told}{more}",
                expected="every named cell of the workbook that was issued",
                todo="Take the readings over into the workbook that was issued; do not delete rows or names.",
                holds_up=sheet.holds_up(cell.name for cell in listed) if what == "point nowhere" else (),
            )
