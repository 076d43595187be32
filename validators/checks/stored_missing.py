"""The file carries no computed values.

What it finds: formula cells without a stored value, when most are without.
Why it matters: a tool has rewritten the file and dropped the values it was sent out with; previews show
blanks.
Example: every formula cell is empty until the file is opened and recalculated.
What to do: nothing for the check: the results are recomputed here. Open the file in a spreadsheet program
and save it if somebody needs to see the numbers.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "CALC01"
NAME = "stored-results-missing"
SEVERITY = Severity.INFORMATION


def find(sheet: Checked) -> Iterator[Note]:
    """Say once when most formula cells have no stored value."""
    altered, cells = sheet.altered, sheet.cells
    formulas = sheet.recompute.fixed.formulas
    held = [at for key, _, _ in formulas if (at := cells[key]) is not None and key not in altered]
    bare = sum(1 for at in held if at.kind == "blank")
    if bare > len(held) / 2:
        yield Note(
            place=sheet.of_file(),
            found=f"{bare} of {len(held)} formula cells without a value",
            expected="a stored value in each",
            todo="Open it in a spreadsheet program and save it if somebody needs to see the numbers.",
        )
