"""One reading is unlike the others of its kind.

What it finds: a reading more than three and a half times the usual spread from the middle of its kind;
where two neighbouring digits swapped would bring it back, it says so, and then it needs a look.
Why it matters: equal parts differ little; a slip while typing often looks like this and is still in range.
Example: 86.102 among bores of 86.011 to 86.014, which 86.012 would fit.
What to do: look at the part or at the notes of whoever measured, and retype it if it was a slip.
"""

from __future__ import annotations

import statistics
from collections.abc import Iterator

from validators.checked import Checked
from validators.expected import is_size
from validators.findings import Note, Severity
from validators.judged import shown_digits
from validators.number_texts import LENGTHS
from validators.spread import digits_swapped, scale, unlike
from validators.together import together

CODE = "READ12"
NAME = "unlike-the-others"
SEVERITY = Severity.INFORMATION
SIZE, PISTON, DECK, VOLUME = 0.004, 0.005, 0.025, 0.3
FLOORS = {
    "bore_reading": SIZE, "main_journal_reading": SIZE, "crankpin_reading": SIZE,
    "main_housing_reading": SIZE, "rod_housing_reading": SIZE, "pin_reading": SIZE,
    "pin_hole_reading": SIZE, "bush_reading": SIZE,
    "piston_reading": PISTON, "deck_reading": DECK, "chamber_volume": VOLUME, "crown_volume": VOLUME,
}
"""The least spread of equal parts, in mm and cm³ (common practice, no source)."""


def find(sheet: Checked) -> Iterator[Note]:
    """Compare each reading with all of its kind."""
    return together(sheet, _odd_ones(sheet))


def _odd_ones(sheet: Checked) -> Iterator[Note]:
    for key, floor in FLOORS.items():
        unit = sheet.plan.unit(key)
        least = floor / LENGTHS.get(unit, 1.0)
        cells = [
            cell for cell in sheet.plan.by_key[key]
            if isinstance(sheet.values[cell.name], float) and is_size(sheet, cell)
            and cell.name not in sheet.unusable
        ]
        values = [float(sheet.values[cell.name] or 0.0) for cell in cells]
        for number in unlike(values, least):
            middle = statistics.median(values)
            width, decimals = scale(values, least), shown_digits(sheet, key) - 1
            meant = digits_swapped(values[number], middle, width, decimals)
            swapped = "" if meant is None else f"; with two digits swapped it would be {meant:.10g} {unit}"
            yield Note(
                place=sheet.place(cells[number]),
                quantity=cells[number].name,
                severity=None if meant is None else Severity.LOOK,
                found=f"{values[number]:.10g} {unit}, where {len(values)} of its kind lie round "
                f"{middle:.6g} {unit}{swapped}",
                expected="a reading like the others, or a part that is known to differ",
                todo="Look at the part or at the notes of whoever measured, and retype it if it was a slip.",
            )
