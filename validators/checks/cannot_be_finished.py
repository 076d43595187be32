"""A bore cannot be finished to its piston.

What it finds: a bore that is already bigger than the ordered size, or has too little metal left to clean
up.
Why it matters: honing it to the piston is not possible.
Example: bore 3 is already 0.012 mm too big.
What to do: choose a bigger piston for this bore, or sleeve it.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity
from validators.judged import apart_digits, shown_digits

CODE = "LIMIT08"
NAME = "cannot-be-finished"
SEVERITY = Severity.BLOCKS
TOO_BIG, TOO_LITTLE = "bore already too big", "too little left to clean up"


def find(sheet: Checked) -> Iterator[Note]:
    """List bores that cannot be finished as ordered."""
    for cell in sheet.plan.by_key["hone_state"]:
        word = sheet.reference.get(cell.name)
        left = sheet.reference.get(f"hone_stock_left_{cell.index[0]}")
        order = sheet.reference.get(f"hone_order_{cell.index[0]}")
        if word not in (TOO_BIG, TOO_LITTLE) or cell.name in sheet.spoilt:
            continue
        if not isinstance(left, float) or not isinstance(order, float):
            continue
        unit, allowance = sheet.plan.unit("hone_order"), sheet.values.get("clean_up_allowance")
        least = float(allowance) if isinstance(allowance, int | float) else 0.0
        # Nothing, and the allowance, are what the amount is said to be beyond.
        digits = apart_digits(shown_digits(sheet, "hone_order"), (left, 0.0), (left, least))
        wanted = "" if word == TOO_BIG else f", with {least:.{digits}f} {unit} left for it"
        amount = f"by {-left:.{digits}f} {unit}" if word == TOO_BIG else f"{left:.{digits}f} {unit}"
        yield Note(
            place=sheet.place(cell),
            quantity=cell.name,
            severity=None if word == TOO_BIG else Severity.LOOK,
            found=f"{word}, {amount} at the largest place",
            expected=f"a bore that can be finished to {order:.{digits}f} {unit}{wanted}",
            todo="Choose a bigger piston for this bore, or sleeve it.",
        )
