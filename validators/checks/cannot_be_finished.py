"""A bore cannot be finished to its piston.

What it finds: a bore that is already bigger than the ordered size, or has too little metal left to clean up.
Why it matters: honing it to the piston is not possible.
Example: bore 3 is already 0.012 mm too big.
What to do: choose a bigger piston for this bore, or a liner.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "LIMIT08"
NAME = "cannot-be-finished"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """List bores that cannot be finished as ordered."""
    for cell in sheet.plan.by_key["hone_state"]:
        word = sheet.reference.get(cell.name)
        if word in ("bore already too big", "too little left to clean up"):
            left = sheet.reference.get(f"hone_stock_left_{cell.index[0]}")
            order = sheet.reference.get(f"hone_order_{cell.index[0]}")
            unit = sheet.plan.unit("hone_order")
            yield Note(
                place=sheet.place(cell),
                quantity=cell.name,
                severity=None if word == "bore already too big" else Severity.LOOK,
                found=f"{word}: {left:.4f} {unit} left at the largest place" if isinstance(left, float) else str(word),
                expected=f"a bore that can be finished to {order:.4f} {unit}" if isinstance(order, float) else "",
                todo="Choose a bigger piston for this bore, or sleeve it.",
            )
