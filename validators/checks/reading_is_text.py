"""A number was entered as text.

What it finds: text in a number cell, and the number it probably is.
Why it matters: a spreadsheet program does not count text, so the result is missing although the cell looks filled.
Example: 86,012 in a program that wants a decimal point.
What to do: retype it with your program's own decimal sign, without the unit.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.errors import quoted
from validators.expected import expected_text
from validators.readings import number_in_text
from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "READ02"
NAME = "reading-is-text"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """List number cells that hold text."""
    for name, reading in sheet.entries.items():
        if reading.fault != "text":
            continue
        cell, held = reading.planned, reading.located.cell
        text = str(held.value) if held is not None else ""
        probable = number_in_text(text)
        unit = sheet.plan.unit(cell.key)
        told = ""
        if probable is not None:
            number, written = probable
            told = f", probably {number:g} {written or unit}".rstrip()
        yield Note(
            place=sheet.place(cell),
            quantity=name,
            found=f"the text {quoted(text)}{told}",
            expected=expected_text(sheet.plan, cell),
            todo="Retype it with your spreadsheet's own decimal sign, without the unit.",
            holds_up=sheet.holds_up([name]),
        )
