"""A lock was lifted, or an entry cell was locked.

What it finds: a sheet without protection, formula cells that are unlocked, entry cells that became locked.
Why it matters: locks keep formulas from being typed over; a locked entry cell was pasted over.
Example: Bores is no longer protected.
What to do: protect the sheet again; check what was changed meanwhile.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "CELL06"
NAME = "lock-lost"
SEVERITY = Severity.LOOK


def find(sheet: Checked) -> Iterator[Note]:
    """Compare protection and locks with the plan, once per sheet and kind."""
    for planned in sheet.plan.sheets:
        title = planned.template.title
        cells = [
            cell
            for cell in sheet.plan.cells
            if cell.sheet == title and cell.name and cell.name not in sheet.gone
        ]
        held = sheet.returned.sheet(sheet.located[cells[0].name].sheet) if cells else None
        if held is not None and not held.protected:
            yield Note(
                place=sheet.of_file(held.title),
                severity=Severity.INFORMATION,
                found="the sheet is not protected",
                expected="a protected sheet, with only its entry cells open",
                todo="Protect the sheet again, without a password.",
            )
        opened, locked = [], []
        for cell in cells:
            held_cell = sheet.located[cell.name].cell
            if held_cell is None:
                continue
            if cell.is_input and held_cell.locked:
                locked.append(cell)
            elif not cell.is_input and not held_cell.locked:
                opened.append(cell)
        for listed, what, should in (
            (opened, "unlocked", "locked"),
            (locked, "locked", "open for entry"),
        ):
            if listed:
                yield Note(
                    place=sheet.place(listed[0]),
                    quantity=listed[0].name,
                    severity=Severity.INFORMATION,
                    found=f"{len(listed)} cells are {what} that should be {should}",
                    expected=f"cells that are {should}",
                    todo="Check what was pasted here; use paste values only.",
                )
