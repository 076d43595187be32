"""A printed text or a constant was changed.

What it finds: a label, heading, unit or constant that is not as written.
Why it matters: a changed constant changes every result that uses it; a changed label lets a number be read as something else.
Example: "Steel, 11.7" changed to 12.5 on the constants sheet.
What to do: put back what was printed, or use the workbook that was issued.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.agree import agrees
from validators.errors import quoted
from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "CELL08"
NAME = "printed-changed"
SEVERITY = Severity.LOOK


def find(sheet: Checked) -> Iterator[Note]:
    """Compare what is printed with the plan, on sheets whose rows and columns have not moved."""
    shifted = {
        sheet.located[name].sheet.casefold()
        for name in sheet.located
        if sheet.located[name].moved != (0, 0)
    }
    for cell in sheet.plan.cells:
        if cell.formula or cell.is_input or cell.value is None:
            continue
        held_sheet = sheet.returned.sheet(cell.sheet)
        if held_sheet is None or (cell.sheet.casefold() in shifted and not cell.name):
            continue
        address = sheet.located[cell.name].address if cell.name else cell.address
        held = held_sheet.cell(address)
        if held.value == cell.value and held.formula is None:
            continue
        if isinstance(cell.value, str) and isinstance(held.value, str) and _same(held.value, cell.value):
            continue
        if isinstance(held.value, float) and not isinstance(cell.value, str) and agrees(held.value, float(cell.value)):
            continue
        constant = bool(cell.name)
        yield Note(
            place=sheet.place(cell) if cell.name else sheet.of_file(cell.sheet, cell.address),
            quantity=cell.name,
            severity=Severity.BLOCKS if constant else Severity.LOOK,
            found="nothing" if held.value is None else quoted(str(held.value)),
            expected=quoted(str(cell.value), 80),
            todo="Put back what was printed, or take the readings over into the workbook that was issued.",
            holds_up=sheet.holds_up([cell.name]) if constant else (),
        )


def _same(found: str, planned: str) -> bool:
    return found.split() == planned.split()
