"""Something that must be entered is missing.

What it finds: blank entry cells that a result needs, one finding for each kind of entry; apart from these,
entries that may stay blank in general, where something that must be judged waits for them.
Why it matters: a blank is never taken as zero: what rests on it reads "not measured", and that is no pass.
Example: 3 of 18 bore readings are blank.
What to do: measure and enter it.
"""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen.plan import PlannedCell
from validators.checked import Checked
from validators.expected import expected_text
from validators.findings import Note, Severity
from validators.missing import Unmeasured
from validators.together import addresses

CODE = "READ01"
NAME = "reading-missing"
SEVERITY = Severity.LOOK
MOST_NAMED = 4


def find(sheet: Checked) -> Iterator[Note]:
    """List what is blank, quantity by quantity."""
    for keys in sheet.plan.stage_inputs.values():
        for key in keys:
            cells = sheet.plan.by_key[key]
            blank = [
                cell for cell in cells if sheet.entries[cell.name].is_blank and not sheet.was_given(cell)
            ]
            if blank:
                yield _required(sheet, key, blank, len(cells))
    for unmeasured in sheet.missing.unmeasured:
        if unmeasured.blank:
            yield _waited_for(sheet, unmeasured)


def _required(sheet: Checked, key: str, blank: list[PlannedCell], count: int) -> Note:
    entry = sheet.plan.catalogue.entries[key]
    held_up = sheet.holds_up(cell.name for cell in blank)
    told = "blank" if count == 1 else f"{len(blank)} of {count} blank"
    if 1 < len(blank) < count:
        told += f": {addresses([sheet.place(cell).cell for cell in blank])}"
    if all(sheet.entries[cell.name].fault == "spaces" for cell in blank):
        told += ", with nothing but spaces typed"
    return Note(
        place=sheet.place(blank[0]),
        quantity=blank[0].name if len(blank) == 1 else key,
        severity=Severity.BLOCKS if held_up or (entry.kind == "reading" and not entry.text) else None,
        found=told,
        expected=expected_text(sheet.plan, blank[0]),
        todo="Measure and enter it." if entry.kind == "reading" and entry.measure else "Enter it.",
        holds_up=held_up,
    )


def _waited_for(sheet: Checked, unmeasured: Unmeasured) -> Note:
    verdicts, blank = unmeasured.verdicts, unmeasured.blank
    named = ", ".join(f"{sheet.label(cell)} ({cell.sheet}!{cell.address})" for cell in blank[:MOST_NAMED])
    more = f" and {len(blank) - MOST_NAMED} more" if len(blank) > MOST_NAMED else ""
    what = verdicts[0].label + (f" and {len(verdicts) - 1} more" if len(verdicts) > 1 else "")
    return Note(
        place=sheet.place(blank[0]),
        quantity=blank[0].name,
        severity=Severity.BLOCKS,
        found=f"blank, and {what} cannot be judged",
        expected=f"what that needs of: {named}{more}",
        todo="Measure and enter it, or settle it in another way before the assembly is released.",
        holds_up=tuple(verdict.name for verdict in verdicts),
    )
