"""Two parts cannot go together.

What it finds: a clearance at or under zero: a piston as big as its bore, a journal as big as its shells.
Why it matters: either the parts are mixed up or a reading is wrong.
Example: the piston of cylinder 4 is 0.003 mm bigger than its bore.
What to do: check the readings and the marks before anything else.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "LIMIT04"
NAME = "impossible-pair"
SEVERITY = Severity.BLOCKS


KEYS = ("piston_clearance", "main_clearance", "rod_clearance", "piston_pin_clearance")


def find(sheet: Checked) -> Iterator[Note]:
    """List clearances at or under zero."""
    for key in KEYS:
        for cell in sheet.plan.by_key[key]:
            value = sheet.reference.get(cell.name)
            if isinstance(value, float) and value <= 0:
                yield Note(
                    place=sheet.place(cell),
                    quantity=cell.name,
                    found=f"a clearance of {value:.4f} {sheet.plan.unit(key)}",
                    expected="a hole bigger than its shaft",
                    todo="Check the readings and the marks of both parts.",
                )
