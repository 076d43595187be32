"""An entry cell holds no plain value.

What it finds: an error value, a true or false, a formula, or a value that no program writes, in an entry
cell.
Why it matters: a formula in an entry cell may follow another cell and is not a reading; it is never run
here.
Example: =F14+0.002 in the cell of a bore reading.
What to do: type the value itself.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked, shown_value
from validators.errors import quoted
from validators.expected import expected_text
from validators.findings import Note, Severity
from validators.readings import Reading
from validators.together import together

CODE = "READ08"
NAME = "entry-is-no-value"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """List entries that are no plain value."""
    return together(sheet, _no_values(sheet))


def _no_values(sheet: Checked) -> Iterator[Note]:
    for name, reading in sheet.entries.items():
        if reading.fault in ("error", "bool", "formula"):
            yield Note(
                place=sheet.place(reading.planned),
                quantity=name,
                found=_told(reading),
                expected=expected_text(sheet.plan, reading.planned),
                todo="Type the value itself.",
                holds_up=sheet.holds_up([name]),
            )


def _told(reading: Reading) -> str:
    held = reading.located.cell
    if held is None:
        return "nothing"
    if held.formula is not None:
        return f"the formula {quoted('=' + held.formula)}"
    if reading.fault == "error" and held.value is None:
        return f"{quoted(held.raw or '')}, which is no value"
    return f"{'the error value' if reading.fault == 'error' else 'the value'} {shown_value(held)}"
