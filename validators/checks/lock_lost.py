"""A lock was lifted, or an entry cell was locked.

What it finds: a sheet without protection, formula cells that are unlocked, entry cells that became locked.
Why it matters: locks keep formulas from being typed over; an entry cell that is locked was pasted over.
Example: Bores is no longer protected.
What to do: look what was changed meanwhile, and protect the sheet again without a password.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sheetgen.plan import PlannedCell
from validators.checked import Checked
from validators.findings import Note, Severity
from validators.together import addresses

CODE = "CELL06"
NAME = "lock-lost"
SEVERITY = Severity.INFORMATION


def find(sheet: Checked) -> Iterator[Note]:
    """Compare protection and locks with the plan, once per sheet and kind."""
    standing = sheet.cells
    for title, cells in sheet.recompute.fixed.lockable.items():
        held = sheet.places.sheet(title)
        if held is None:
            continue
        if not held.protected:
            yield Note(
                place=sheet.of_file(held.title),
                found="the sheet is not protected",
                expected="a protected sheet, with only its entry cells open",
                todo="Look what was changed meanwhile, and protect the sheet again without a password.",
            )
        opened: list[PlannedCell] = []
        locked: list[PlannedCell] = []
        for key, cell in cells:
            at = standing[key]
            if at is not None and at.locked == cell.is_input and cell.name not in sheet.astray:
                (locked if cell.is_input else opened).append(cell)
        if opened:
            yield _said(sheet, opened, "open to typing", "locked", "Look what was typed here; lock it again.")
        if locked:
            yield _said(sheet, locked, "locked", "open for entry", "Check these entries: they were pasted.")


def _said(sheet: Checked, cells: Sequence[PlannedCell], what: str, should: str, todo: str) -> Note:
    several = len(cells) > 1
    told = addresses([sheet.place(cell).cell for cell in cells])
    return Note(
        place=sheet.place(cells[0]),
        quantity=cells[0].name,
        found=f"{len(cells)} cells are {what}: {told}" if several else f"the cell is {what}",
        expected=f"cells that are {should}" if several else f"a cell that is {should}",
        todo=todo,
    )
