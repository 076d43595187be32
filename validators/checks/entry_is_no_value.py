"""An entry cell holds no plain value.

What it finds: an error value, a true or false, or a formula in an entry cell.
Why it matters: a formula in an entry cell may follow another cell and is not a reading; it is never run here.
Example: =F14+0.002 in the cell of a bore reading.
What to do: type the number itself.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.errors import quoted
from validators.expected import expected_text
from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "READ08"
NAME = "entry-is-no-value"
SEVERITY = Severity.BLOCKS


SAID = {"error": "an error value", "bool": "true or false", "formula": "a formula"}


def find(sheet: Checked) -> Iterator[Note]:
    """List entries that are no plain value."""
    for name, reading in sheet.entries.items():
        if reading.fault in SAID:
            held = reading.located.cell
            text = ""
            if held is not None:
                text = f" {quoted('=' + held.formula)}" if held.formula else f" {held.raw or held.value}"
            yield Note(
                place=sheet.place(reading.planned),
                quantity=name,
                found=f"{SAID[reading.fault]}{text}",
                expected=expected_text(sheet.plan, reading.planned),
                todo="Type the value itself.",
                holds_up=sheet.holds_up([name]),
            )
