"""A piston rocks out of its deck.

What it finds: a crown edge that stands above the deck when the piston is rocked.
Why it matters: the head gasket has to make room for it; the figure at speed decides.
Example: cylinder 4 rocks 0.031 mm above the deck.
What to do: see which gasket clears on the deck and gasket sheet.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "LIMIT06"
NAME = "piston-above-deck"
SEVERITY = Severity.LOOK


def find(sheet: Checked) -> Iterator[Note]:
    """List pistons whose smallest deck clearance is under zero."""
    for cell in sheet.plan.by_key["deck_clearance_least"]:
        value = sheet.reference.get(cell.name)
        if isinstance(value, float) and value < 0:
            place = cell.index[0]
            basis = sheet.reference.get(f"deck_basis_{place}")
            bank = sheet.plan.build.layout.bank_of[int(place) - 1]
            pick = sheet.reference.get(f"gasket_pick_{bank}")
            unit = sheet.plan.unit(cell.key)
            gasket = f"the thinnest gasket that clears is {pick:.3f} {unit}" if isinstance(pick, float) else (
                f"offered gaskets: {sheet.reference.get(f'gasket_pick_state_{bank}')}"
            )
            yield Note(
                place=sheet.place(cell),
                quantity=cell.name,
                found=f"the crown rocks {-value:.4f} {unit} above the deck ({basis})",
                expected=f"a gasket that makes room for it; {gasket}",
                todo="See the deck and gasket sheet before the head goes on.",
            )
