"""A number cannot be right.

What it finds: a number outside the range of what such a thing can be, that no other rule explains; a date
where a number or a mark belongs; numbers of which each could be, and that cannot be together.
Why it matters: a size outside physical sense is left out of every result. A spreadsheet may turn 3.5 into
a date while it is typed.
Example: a part temperature of -4 °C.
What to do: measure again, or retype it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from sheetgen.plan import PlannedCell
from validators.checked import Checked
from validators.expected import expected_text, hard_range
from validators.findings import Note, Severity
from validators.missing import Unmeasured
from validators.number_texts import LENGTHS
from validators.readings import FIRST_DAY, LAST_DAY, Reading, day
from validators.slips import Slip, slipped
from validators.together import together

CODE = "READ03"
NAME = "reading-out-of-range"
SEVERITY = Severity.BLOCKS
TODO = "Measure again, or retype it."
MOST_NAMED = 4


def find(sheet: Checked) -> Iterator[Note]:
    """List numbers outside their hard range, dates out of place, and what cannot be together."""
    yield from together(sheet, slipped(sheet, CODE))
    yield from together(sheet, _dates(sheet))
    for unmeasured in sheet.missing.unmeasured:
        if unmeasured.stuck and not unmeasured.blank:
            yield _stuck(sheet, unmeasured)


def slip(sheet: Checked, cell: PlannedCell, value: float, _: Mapping[str, Slip]) -> Slip | None:
    """Return what to say of a number outside its hard range."""
    limits = hard_range(sheet.plan, cell)
    if limits is None:  # a limit: only what stands in for one that is not set is too much
        most = float(sheet.plan.by_name["open_limit"].value)
        limits = -most, most
    if limits[0] <= value <= limits[1]:
        return None
    unit = sheet.plan.unit(cell.key)
    note = Note(
        place=sheet.place(cell),
        quantity=cell.name,
        found=f"{value:.10g} {unit}".rstrip() + _hint(value, unit, limits),
        expected=expected_text(sheet.plan, cell),
        todo=TODO if sheet.plan.catalogue.entries[cell.key].kind == "reading" else "Retype it.",
        holds_up=sheet.holds_up([cell.name]),
    )
    return Slip(CODE, note)


def _hint(value: float, unit: str, limits: tuple[float, float]) -> str:
    """Return what a length would be if it was typed in the other unit, and that could be right."""
    other = {"mm": "in", "in": "mm"}.get(unit)
    if other is None or value <= 0:
        return ""
    converted = value * LENGTHS[other] / LENGTHS[unit]
    name = {"mm": "millimetres", "in": "inches"}[other]
    if not limits[0] <= converted <= limits[1]:
        return ""
    return f"; if that is {name}, it would be {converted:.6g} {unit}"


def _dates(sheet: Checked) -> Iterator[Note]:
    for name, reading in sheet.entries.items():
        if reading.fault == "date":
            yield Note(
                place=sheet.place(reading.planned),
                quantity=name,
                severity=None if reading.value is None else Severity.LOOK,
                found=f"a date, {_day(sheet, reading)}: the spreadsheet took what was typed for one",
                expected=expected_text(sheet.plan, reading.planned),
                todo="Set the cell's format back to a number or text, and retype it.",
                holds_up=sheet.holds_up([name]) if reading.value is None else (),
            )
        elif reading.fault == "undated":
            yield Note(
                place=sheet.place(reading.planned),
                quantity=name,
                severity=Severity.LOOK,
                found=f"the number {reading.text}",
                expected=f"a date from {FIRST_DAY.year} to {LAST_DAY.year}",
                todo="Retype it as a date of your spreadsheet.",
            )


def _day(sheet: Checked, reading: Reading) -> str:
    held = reading.located.cell
    value = held.value if held is not None else None
    if not isinstance(value, float):
        return "unknown"
    return day(value, counts_from_1904=sheet.returned.counts_from_1904)


def _stuck(sheet: Checked, unmeasured: Unmeasured) -> Note:
    first, cell = unmeasured.verdicts[0], unmeasured.stuck[0]
    told = ", ".join(_before(sheet, cell)[:MOST_NAMED])
    return Note(
        place=sheet.place(cell),
        quantity=cell.name,
        found=f"{sheet.label(cell)} cannot be computed, although nothing it needs is blank",
        expected=f"entries that can be together; now: {told}",
        todo=f"Check the entries that it rests on: {first.label} cannot be judged without it.",
        holds_up=tuple(verdict.name for verdict in unmeasured.verdicts),
    )


def _before(sheet: Checked, cell: PlannedCell) -> list[str]:
    """Return what a result is computed from, with values, in the order of the sheet."""
    used = sheet.recompute.dependence.precedents.get(cell.name, set())
    told = []
    for name, planned in sheet.plan.by_name.items():
        value = sheet.values.get(name) if planned.is_input else sheet.reference.get(name)
        if name in used and isinstance(value, float):
            told.append(f"{sheet.label(planned)} {value:.6g} {sheet.plan.unit(planned.key)}".rstrip())
    return told
