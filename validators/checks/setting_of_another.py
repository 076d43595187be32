"""A bore was set on the master of another one.

What it finds: a bore, measured as deviations where bores have setting sizes of their own, whose six readings
all lie to one side of the other bores, by more than three and a half times the usual spread in the mean; it
says from which setting size it would be like them.
Why it matters: a wrong setting size moves all six readings of a bore alike, and each of them looks right.
Example: bore 3 was read from 86.02 mm, and 86.00 mm stands beside it.
What to do: look which master the gauge was set on, and correct the setting size, or look at the bore. Masters
less than 0.014 mm apart cannot be told from the spread of bores; with the usual spread of 0.004 mm a set of
four to twelve good bores does it in 0.2 to 0.5 % of sheets.
"""

from __future__ import annotations

import statistics
from collections.abc import Iterator
from dataclasses import dataclass

from sheetgen.plan import PlannedCell
from validators.checked import Checked
from validators.expected import setting_of, whole_size
from validators.findings import Note, Severity
from validators.number_texts import LENGTHS
from validators.spread import FEWEST, LIKE, scale, unlike

CODE = "READ22"
NAME = "setting-of-another"
SEVERITY = Severity.LOOK
KEY, FLOOR = "bore_reading", 0.004
"""The least spread of equal bores, in mm (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class WrongSetting:
    """A bore that was set on another master: the cell, what it holds, what is likelier, what it moves."""

    cell: PlannedCell
    typed: float
    likelier: float
    readings: tuple[str, ...]


def find(sheet: Checked) -> Iterator[Note]:
    """List bores whose setting size seems to be that of another one."""
    for odd in wrong_settings(sheet):
        unit = sheet.plan.unit(KEY)
        yield Note(
            place=sheet.place(odd.cell),
            quantity=odd.cell.name,
            found=f"the setting size {odd.typed:.10g} {unit} makes this bore unlike the others; from "
            f"{odd.likelier:.6g} {unit} it would be like them{sheet.put_right.then(odd.cell.name)}",
            expected="the size of the master that the gauge was set on for this bore",
            todo="Look which master the gauge was set on, and correct the setting size.",
        )


def wrong_settings(sheet: Checked) -> list[WrongSetting]:
    """Return the bores whose readings all lie to one side of the others, as from another setting size."""
    own = any(isinstance(sheet.values[cell.name], float) for cell in sheet.plan.by_key["bore_setting"])
    if sheet.values.get("entry_form_bore") != "deviation" or not own:
        return []
    bores: dict[str, list[PlannedCell]] = {}
    for cell in sheet.plan.by_key[KEY]:
        if cell.name not in sheet.unusable and whole_size(sheet, cell) is not None:
            bores.setdefault(cell.index[0], []).append(cell)
    if len(bores) < FEWEST:
        return []
    means = [statistics.fmean(whole_size(sheet, cell) or 0.0 for cell in cells) for cells in bores.values()]
    floor = FLOOR / LENGTHS[sheet.plan.unit(KEY)]
    middle, width = statistics.median(means), scale(means, floor)
    settings = {bore: setting_of(sheet, cells[0]) or 0.0 for bore, cells in bores.items()}
    general = sheet.values.get("setting_size_bore")
    offered = {*settings.values(), *([general] if isinstance(general, float) else [])}
    found = []
    for number in unlike(means, floor):
        bore = list(bores)[number]
        setting, shift = settings[bore], means[number] - middle
        sizes = [whole_size(sheet, cell) or 0.0 for cell in bores[bore]]
        cell = sheet.plan.by_name[f"bore_setting_{bore}"]
        if max(sizes) - min(sizes) > 2 * LIKE * width or cell.name in sheet.unusable:
            continue  # one reading that is off, and not the master
        best = min(offered, key=lambda other: abs(setting - shift - other))
        likelier = best if abs(setting - shift - best) <= LIKE * width else setting - shift
        found.append(WrongSetting(cell, setting, likelier, tuple(one.name for one in bores[bore])))
    return found
