"""A number or a date was entered as text.

What it finds: text in a number cell, and the number it probably is; text where a date belongs.
Why it matters: a spreadsheet program does not count text, so the result is missing although the cell looks
filled.
Example: 86,012 in a program that wants a decimal point, or 3.9175" with its unit.
What to do: retype it with your spreadsheet's own decimal sign, without the unit.
"""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen.plan import PlannedCell
from validators.checked import Checked
from validators.errors import quoted
from validators.expected import expected_text, hard_range, is_size, nominal_of
from validators.findings import Note, Severity
from validators.number_texts import Meant, in_length_unit, likeliest, numbers_in_text
from validators.together import together

CODE = "READ02"
NAME = "reading-is-text"
SEVERITY = Severity.BLOCKS
RETYPE = "Retype it with your spreadsheet's own decimal sign, without the unit."
NEAR = 0.5
"""A number within this share of its nominal is believed before another reading of the same text."""


def find(sheet: Checked) -> Iterator[Note]:
    """List number cells and date cells that hold text."""
    return together(sheet, _texts(sheet))


def _texts(sheet: Checked) -> Iterator[Note]:
    for name, reading in sheet.entries.items():
        if reading.fault != "text":
            continue
        cell = reading.planned
        is_date = sheet.plan.catalogue.entries[cell.key].text == "date"
        yield Note(
            place=sheet.place(cell),
            quantity=name,
            severity=Severity.LOOK if is_date else None,
            found=f"the text {quoted(reading.text)}{'' if is_date else _probably(sheet, cell, reading.text)}"
            f"{sheet.put_right.then(name)}",
            expected=expected_text(sheet.plan, cell),
            todo="Retype it as a date of your spreadsheet." if is_date else RETYPE,
            holds_up=sheet.holds_up([name]),
        )


def meant(sheet: Checked) -> dict[str, float]:
    """Return what number each text probably is, in the unit of its cell."""
    found: dict[str, float] = {}
    for name, reading in sheet.entries.items():
        if reading.fault == "text" and sheet.plan.catalogue.entries[reading.planned.key].measure:
            number = _likeliest(sheet, reading.planned, reading.text)
            unit = sheet.plan.unit(reading.planned.key)
            value = None if number is None else number.value
            if number is not None and number.unit not in ("", unit):
                value = in_length_unit(number, unit)
            if value is not None:
                found[name] = value
    return found


def _likeliest(sheet: Checked, cell: PlannedCell, text: str) -> Meant | None:

    def believable(value: float) -> bool:
        nominal = nominal_of(sheet, cell) if is_size(sheet, cell) else None
        if nominal is not None:
            return abs(value - nominal.value) <= NEAR * nominal.value
        limits = hard_range(sheet.plan, cell)
        return limits is None or limits[0] <= value <= limits[1]

    return likeliest(numbers_in_text(text), believable)


def _probably(sheet: Checked, cell: PlannedCell, text: str) -> str:
    """Return what number a text probably is, told behind the text itself."""
    unit, number = sheet.plan.unit(cell.key), _likeliest(sheet, cell, text)
    if number is None:
        return ""
    told = f", probably {number.value:.10g} {number.unit or unit}".rstrip()
    converted = in_length_unit(number, unit) if number.unit != unit else None
    return told if converted is None else f"{told}, that is {converted:.6g} {unit}"
