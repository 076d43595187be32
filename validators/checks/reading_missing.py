"""Something that must be entered is missing.

What it finds: blank entry cells that a result needs, one finding for each kind of entry.
Why it matters: a blank is never taken as zero: what rests on it reads "not measured".
Example: 3 of 36 bore readings are blank.
What to do: measure and enter it.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.expected import expected_text
from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "READ01"
NAME = "reading-missing"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """List what is blank, quantity by quantity."""
    plan = sheet.plan
    for keys in plan.stage_inputs.values():
        for key in keys:
            cells = plan.by_key[key]
            blank = [
                cell
                for cell in cells
                if sheet.values[cell.name] is None and not sheet.entries[cell.name].fault
                and cell.name not in sheet.gone
            ]
            if not blank:
                continue
            entry = plan.catalogue.entries[key]
            count = f"{len(blank)} of {len(cells)} blank" if len(cells) > 1 else "blank"
            more = "" if len(blank) == 1 else f", the first: {blank[0].label}"
            yield Note(
                place=sheet.place(blank[0]),
                quantity=blank[0].name if len(blank) == 1 else key,
                severity=Severity.LOOK if entry.text or entry.kind == "given" else None,
                found=f"{count}{more}",
                expected=expected_text(plan, blank[0]),
                todo="Measure and enter it." if entry.kind == "reading" else "Enter it.",
                holds_up=sheet.holds_up(cell.name for cell in blank),
            )
