"""No offered gasket clears every piston.

What it finds: a bank for which no offered thickness keeps both minima at every cylinder.
Why it matters: with any of them a piston may touch the head.
Example: none of 0.7 to 1.2 mm passes.
What to do: find a thicker gasket, or take height off the pistons.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "LIMIT07"
NAME = "no-gasket-clears"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """List banks without a gasket that passes."""
    for cell in sheet.plan.by_key["gasket_pick_state"]:
        if sheet.reference.get(cell.name) == "none passes" and cell.name not in sheet.spoilt:
            offers = [sheet.values[offer.name] for offer in sheet.plan.by_key["gasket_thickness"]]
            told = ", ".join(f"{offer:.6g}" for offer in offers if isinstance(offer, float))
            yield Note(
                place=sheet.place(cell),
                quantity=cell.name,
                found=f"none of {told} {sheet.plan.unit('gasket_thickness')} passes",
                expected="a thickness that keeps the static and the at-speed minimum at every cylinder",
                todo="Find a thicker gasket, or take height off the pistons.",
            )
