"""Two parts cannot go together.

What it finds: a clearance at or under zero: a piston as big as its bore, a journal as big as its shells, a
floating pin as big as its hole.
Why it matters: either the parts are mixed up or a reading is wrong.
Example: the piston of cylinder 3 is 0.003 mm bigger than its bore.
What to do: check the readings and the marks of both parts before anything else.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity
from validators.judged import MOST_DIGITS, shown_digits

CODE = "LIMIT04"
NAME = "impossible-pair"
SEVERITY = Severity.BLOCKS
KEYS = ("piston_clearance", "main_clearance", "rod_clearance", "piston_pin_clearance", "bush_pin_clearance")
PRESSED = "bush_pin_clearance"
"""A pin that is pressed into the rod is bigger than its hole, and must be."""


def find(sheet: Checked) -> Iterator[Note]:
    """List clearances at or under zero."""
    for name, value in impossible(sheet).items():
        cell = sheet.plan.by_name[name]
        unit, digits = sheet.plan.unit(cell.key), shown_digits(sheet, cell.key)
        # Nothing but nothing is printed as nothing.
        while value and digits < MOST_DIGITS and not float(f"{value:.{digits}f}"):
            digits += 1
        yield Note(
            place=sheet.place(cell),
            quantity=name,
            found=f"a clearance of {value:.{digits}f} {unit}",
            expected="a hole bigger than its shaft",
            todo="Check the readings and the marks of both parts.",
        )


def impossible(sheet: Checked) -> dict[str, float]:
    """Return the clearances at or under zero, by name."""
    pressed = sheet.values.get("pin_fit") == "pressed"
    found: dict[str, float] = {}
    for key in KEYS:
        if key == PRESSED and pressed:
            continue
        for cell in sheet.plan.by_key[key]:
            value = sheet.reference.get(cell.name)
            if isinstance(value, float) and value <= 0 and cell.name not in sheet.spoilt:
                found[cell.name] = value
    return found
