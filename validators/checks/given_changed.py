"""Something given was changed after the workbook was written.

What it finds: a limit, target or other given figure that differs from the one in the birth record.
Why it matters: whoever moves a limit moves the verdict.
Example: the upper limit of the main bearing clearance was 0.060 mm and is 0.070 mm.
What to do: ask who changed it, and why; the record keeps both figures.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.agree import agrees
from validators.errors import quoted
from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "CELL09"
NAME = "given-changed"
SEVERITY = Severity.INFORMATION


def find(sheet: Checked) -> Iterator[Note]:
    """Compare what the builder gave with what the workbook was written with."""
    for name, reading in sheet.entries.items():
        cell = reading.planned
        entry = sheet.plan.catalogue.entries[cell.key]
        if entry.kind != "given" or cell.value is None or reading.fault:
            continue
        now, then = reading.value, cell.value
        if isinstance(then, int | float):
            then = float(then)
        if entry.text == "date" or agrees(now, then):
            continue
        limit = bool(entry.of) or "target" in cell.key
        unit = sheet.plan.unit(cell.key)
        yield Note(
            place=sheet.place(cell),
            quantity=name,
            severity=Severity.LOOK if limit else None,
            found="nothing" if now is None else f"{quoted(str(now))[1:-1]} {unit}".rstrip(),
            expected=f"{cell.value} {unit}".rstrip() + ", as the workbook was written",
            todo="Ask who changed it and why, before a verdict that rests on it is used.",
        )
