"""Stored values are not what the entries give.

What it finds: formula cells whose stored value differs from the reference core, although no formula before them was changed.
Why it matters: the file was saved without recalculating, or another program computes differently; whoever looked at it saw wrong numbers.
Example: the stored clearance of cylinder 2 is 0.055 mm, the readings give 0.061 mm.
What to do: trust the recomputed value; open, recalculate and save the file.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.agree import agrees
from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "CALC02"
NAME = "stored-result-stale"
SEVERITY = Severity.LOOK


def find(sheet: Checked) -> Iterator[Note]:
    """Compare stored values with the reference core, once per file."""
    stale = []
    for cell in sheet.recomputer.computed:
        name = cell.name
        held = sheet.located[name].cell
        if held is None or name in sheet.doubtful or held.formula is None or held.kind == "blank":
            continue
        if not agrees(held.raw if held.kind == "error" else held.value, sheet.reference.get(name)):
            stale.append((cell, held))
    if not stale:
        return
    cell, held = stale[0]
    more = f"; and {len(stale) - 1} more" if len(stale) > 1 else ""
    unit = sheet.plan.unit(cell.key)
    yield Note(
        place=sheet.place(cell),
        quantity=cell.name,
        found=f"the stored value {held.raw or held.value!r} {unit}{more}".replace(" ;", ";"),
        expected=f"{sheet.reference.get(cell.name)!r} {unit}".rstrip(),
        todo="Trust the recomputed values; open, recalculate and save the file.",
    )
