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

from sheetgen.plan import PlannedCell
from validators.checked import Checked
from validators.checks.setting_of_another import wrong_settings
from validators.expected import dial_sign, is_size, setting_of, whole_size
from validators.findings import Note, Severity
from validators.judged import shown_digits
from validators.number_texts import LENGTHS
from validators.spread import digits_swapped, scale, unlike
from validators.together import together

CODE = "READ12"
NAME = "unlike-the-others"
SEVERITY = Severity.INFORMATION
SIZE, PISTON, DECK, VOLUME, MASS = 0.004, 0.005, 0.025, 0.3, 0.7
FLOORS = {
    "bore_reading": SIZE, "main_journal_reading": SIZE, "crankpin_reading": SIZE,
    "main_housing_reading": SIZE, "rod_housing_reading": SIZE, "pin_reading": SIZE,
    "pin_hole_reading": SIZE, "bush_reading": SIZE,
    "piston_reading": PISTON, "deck_reading": DECK, "chamber_volume": VOLUME, "crown_volume": VOLUME,
    "piston_mass": MASS, "pin_mass": MASS, "ring_mass": MASS, "lock_mass": MASS, "rod_small_mass": MASS,
    "rod_big_mass": MASS, "rod_total_mass": MASS,
}
"""The least spread of equal parts, in mm, cm³ and g (common practice, no source)."""


def find(sheet: Checked) -> Iterator[Note]:
    """Compare each reading with all of its kind."""
    return together(sheet, _odd_ones(sheet))


def _odd_ones(sheet: Checked) -> Iterator[Note]:
    elsewhere = {name for odd in wrong_settings(sheet) for name in odd.readings}
    for cell, size, middle, count, swapped in _unlike(sheet):
        if cell.name in elsewhere:
            continue
        unit, value = sheet.plan.unit(cell.key), sheet.values[cell.name]
        typed = "" if is_size(sheet, cell) else f" ({value:.10g} {unit} on the dial)"
        told = "" if swapped is None else f"; with two digits swapped it would be {swapped:.10g} {unit}"
        yield Note(
            place=sheet.place(cell),
            quantity=cell.name,
            severity=None if swapped is None else Severity.LOOK,
            found=f"{size:.10g} {unit}{typed}, where {count} of its kind lie round {middle:.6g} {unit}{told}"
            f"{sheet.put_right.then(cell.name)}",
            expected="a reading like the others, or a part that is known to differ",
            todo="Look at the part or at the notes of whoever measured, and retype it if it was a slip.",
        )


def meant(sheet: Checked) -> dict[str, float]:
    """Return what an odd reading would be with two digits swapped, where that makes it like the others."""
    elsewhere = {name for odd in wrong_settings(sheet) for name in odd.readings}
    return {
        cell.name: swapped for cell, *_, swapped in _unlike(sheet)
        if swapped is not None and cell.name not in elsewhere
    }


def _unlike(sheet: Checked) -> Iterator[tuple[PlannedCell, float, float, int, float | None]]:
    """Yield each odd reading: size, middle and number of its kind, and the entry with digits swapped."""
    for key, floor in FLOORS.items():
        least = floor / LENGTHS.get(sheet.plan.unit(key), 1.0)
        sizes = [
            (cell, size) for cell in sheet.plan.by_key[key]
            if cell.name not in sheet.unusable and (size := whole_size(sheet, cell)) is not None
        ]
        values = [size for _, size in sizes]
        for number in unlike(values, least):
            cell, middle, width = sizes[number][0], statistics.median(values), scale(values, least)
            entry, near = sheet.values[cell.name], middle
            if not is_size(sheet, cell):
                near = dial_sign(sheet, cell) * (middle - (setting_of(sheet, cell) or 0.0))
            swapped = digits_swapped(float(entry or 0.0), near, width, shown_digits(sheet, key) - 1)
            yield cell, values[number], middle, len(values), swapped
