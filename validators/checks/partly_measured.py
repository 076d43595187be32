"""Something that may stay unmeasured is measured in some places and not in others.

What it finds: parts weighed, bolts stretched, lash or springs measured in some places only; a bolt whose
length was taken tight and not before, or the other way round where others are tight. A rod bolt without a
length blocks assembly.
Why it matters: spread and grams to take off need every part, and a rod is no safer than the bolt that was
not measured.
Example: 11 of 12 rod bolts have a length tightened; bolt 4b has none.
What to do: measure the rest, or clear what was measured if the job does without it.
"""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen.plan import PlannedCell
from validators.checked import Checked
from validators.expected import expected_text
from validators.findings import Note, Severity
from validators.together import addresses

CODE = "READ13"
NAME = "partly-measured"
SEVERITY = Severity.LOOK
TIGHT = "bolt_tight_length"
WANTED = {
    TIGHT: ("bolt_free_length", TIGHT),
    **{
        key: (key,)
        for key in (
            "piston_mass", "pin_mass", "ring_mass", "lock_mass", "rod_small_mass", "rod_big_mass",
            "rod_total_mass", "lash_reading", "shim_present", "spring_height",
        )
    },
}
"""What has to be there everywhere, once something of the first kind is there anywhere."""


def find(sheet: Checked) -> Iterator[Note]:
    """List what is missing beside what was measured."""
    for first, wanted in WANTED.items():
        typed = [cell for cell in sheet.plan.by_key.get(first, ()) if not sheet.entries[cell.name].is_blank]
        if typed:
            for key in wanted:
                cells = sheet.plan.by_key[key]
                blank = [c for c in cells if sheet.entries[c.name].is_blank and not sheet.was_given(c)]
                if blank:
                    yield _note(sheet, key, blank, len(cells))


def _note(sheet: Checked, key: str, blank: list[PlannedCell], count: int) -> Note:
    """Say what is missing; a rod bolt that was not measured blocks, the rest needs a look."""
    told = addresses([sheet.place(cell).cell for cell in blank])
    return Note(
        place=sheet.place(blank[0]),
        quantity=blank[0].name if len(blank) == 1 else key,
        severity=Severity.BLOCKS if key in WANTED[TIGHT] else None,
        found=f"{len(blank)} of {count} blank: {told}",
        expected=expected_text(sheet.plan, blank[0]),
        todo="Measure the rest, or clear what was measured if the job does without it.",
    )
