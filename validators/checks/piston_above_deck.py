"""A piston rocks out of its deck.

What it finds: a crown edge that stands above the deck when the piston is rocked. For information only
where the chosen gasket keeps both minima at that cylinder.
Why it matters: the head gasket has to make room for it; the figure at speed decides.
Example: cylinder 3 rocks 0.031 mm above the deck.
What to do: see on the deck and gasket sheet which gasket clears.
"""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen.plan import PlannedCell
from validators.checked import Checked
from validators.findings import Note, Severity
from validators.judged import apart_digits, shown_digits

CODE = "LIMIT06"
NAME = "piston-above-deck"
SEVERITY = Severity.LOOK
CLEARANCES = ("head_clearance_static", "head_clearance_speed")


def find(sheet: Checked) -> Iterator[Note]:
    """List pistons whose smallest deck clearance is under zero."""
    words = {verdict.name: verdict.word for verdict in sheet.verdicts}
    for cell in sheet.plan.by_key["deck_clearance_least"]:
        value = sheet.reference.get(cell.name)
        if isinstance(value, float) and value < 0 and cell.name not in sheet.spoilt:
            clears = all(words[f"{key}_{cell.index[0]}"] == "within" for key in CLEARANCES)
            yield _above(sheet, cell, -value, clears=clears)


def _above(sheet: Checked, cell: PlannedCell, height: float, *, clears: bool) -> Note:
    place = cell.index[0]
    bank = sheet.plan.build.layout.bank_of[int(place) - 1]
    pick, unit = sheet.reference.get(f"gasket_pick_{bank}"), sheet.plan.unit(cell.key)
    shown = shown_digits(sheet, cell.key)
    digits = apart_digits(shown, (height, 0.0))
    if isinstance(pick, float):
        gasket = f"the thinnest offered that clears is {pick:.{shown - 1}f} {unit}"
    else:
        gasket = f"offered gaskets: {sheet.reference.get(f'gasket_pick_state_{bank}')}"
    basis = sheet.reference.get(f"deck_basis_{place}")
    return Note(
        place=sheet.place(cell),
        quantity=cell.name,
        severity=Severity.INFORMATION if clears else None,
        found=f"the crown rocks {height:.{digits}f} {unit} above the deck ({basis})"
        + ("; the chosen gasket clears it" if clears else ""),
        expected=f"a gasket that makes room for it; {gasket}",
        todo="See the deck and gasket sheet before the head goes on.",
    )
