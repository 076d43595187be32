"""Something given was changed after the workbook was written.

What it finds: a limit, target or other given figure that differs from the one in the birth record, or was
cleared. With `--issued`, whatever was typed before the workbook was sent out counts, and a limit or target
that was left open then and stands there now.
Why it matters: whoever moves a limit moves the verdict.
Example: the upper limit of the main bearing clearance was 0.060 mm and is 0.070 mm.
What to do: ask who changed it, and why, before a verdict that rests on it is used.
"""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen.catalogue import FAMILIES
from sheetgen.plan import PlannedCell
from validators.agree import agrees
from validators.checked import Checked
from validators.contents import held_in, same_held
from validators.errors import quoted
from validators.findings import Note, Severity
from validators.readings import Reading, day, stored_day
from validators.together import together

CODE = "CELL09"
NAME = "given-changed"
SEVERITY = Severity.INFORMATION
LONGEST_PLACE = 200
MOVES_A_VERDICT = frozenset({"guard_factor", "expansion_uncertainty", "ratio_target"})
IDENTITY = "job_number"
CHANGED = "Ask who changed it and why, before a verdict that rests on it is used."
CLEARED = "Ask who cleared it and why, and enter it again."


def find(sheet: Checked) -> Iterator[Note]:
    """Compare what the builder gave with what the workbook was written with."""
    return together(sheet, _changed(sheet))


def _changed(sheet: Checked) -> Iterator[Note]:
    for name, reading in sheet.entries.items():
        cell = reading.planned
        if reading.located.cell is None or not _counts(sheet, reading):
            continue
        if _same(sheet, reading) or (name in sheet.unusable and not reading.is_blank):
            continue  # as written, or said by the check that cannot use it
        held_up = sheet.holds_up([name])
        yield Note(
            place=sheet.place(cell),
            quantity=name,
            severity=_severity(sheet, reading, held_up),
            found="nothing" if reading.is_blank else _told(sheet, cell, reading.value),
            expected=f"{_told(sheet, cell, sheet.as_issued(cell))}, as {_baseline(sheet)}",
            todo=CLEARED if reading.is_blank else CHANGED,
            holds_up=held_up if reading.is_blank else (),
        )


def _counts(sheet: Checked, reading: Reading) -> bool:
    """Return whether an entry is compared: what was given, and with the issued file whatever stood there."""
    cell = reading.planned
    if sheet.was_given(cell):
        return True
    if sheet.issued_file is None or reading.is_blank:
        return False  # a reading that was cleared is missing, and that is said there
    then = sheet.as_issued(cell)
    if then is None:
        return _moves_a_verdict(sheet, cell)
    return not same_held(then, cell.value)  # what every workbook starts with may be typed over


def _baseline(sheet: Checked) -> str:
    file = sheet.issued_file
    if file is None:
        return "the workbook was written"
    return f"it was issued ({quoted(file.place, LONGEST_PLACE)[1:-1]})"


def _moves_a_verdict(sheet: Checked, cell: PlannedCell) -> bool:
    entry = sheet.plan.catalogue.entries[cell.key]
    return bool(entry.of) or "target" in entry.key or entry.key in MOVES_A_VERDICT


def _same(sheet: Checked, reading: Reading) -> bool:
    if sheet.issued_file is not None:
        return same_held(held_in(sheet, reading), sheet.as_issued(reading.planned))
    now, then = reading.value, reading.planned.value
    if sheet.plan.catalogue.entries[reading.planned.key].text == "date":
        stored = stored_day(str(then), counts_from_1904=sheet.returned.counts_from_1904)
        return now == then or (isinstance(now, float) and stored is not None and int(now) == int(stored))
    return agrees(now, float(then) if isinstance(then, int | float) else then)


def _told(sheet: Checked, cell: PlannedCell, value: object) -> str:
    if value is None:
        return "blank"
    if sheet.plan.catalogue.entries[cell.key].text == "date" and isinstance(value, float):
        return day(value, counts_from_1904=sheet.returned.counts_from_1904) or f"{value:.10g}"
    if isinstance(value, int | float):
        return f"{value:.10g} {sheet.plan.unit(cell.key)}".rstrip()
    return quoted(str(value))


def _severity(sheet: Checked, reading: Reading, held_up: tuple[str, ...]) -> Severity | None:
    entry = sheet.plan.catalogue.entries[reading.planned.key]
    if reading.is_blank and held_up and not entry.of:
        return Severity.BLOCKS
    if _moves_a_verdict(sheet, reading.planned) or entry.key == IDENTITY:
        return Severity.LOOK
    if entry.kind != "given":
        return None  # a reading that was taken again
    return Severity.LOOK if held_up and not _usual(sheet, reading.planned) else None


def _usual(sheet: Checked, cell: PlannedCell) -> bool:
    """Return whether a given value is the one that every new workbook starts with."""
    usual = sheet.plan.catalogue.entries[cell.key].default
    if isinstance(usual, dict):
        usual = usual.get(cell.index[0], usual.get("*"))
    if isinstance(usual, list):
        usual = usual[FAMILIES.index(sheet.plan.build.family)]
    return usual is not None and usual == cell.value
