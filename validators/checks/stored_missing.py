"""The file carries no computed values.

What it finds: formula cells without a stored value.
Why it matters: a tool has rewritten the file and dropped the values it was sent out with; previews show blanks.
Example: every formula cell is empty until it is opened.
What to do: nothing: the results are recomputed here. Open and save it in a spreadsheet program if somebody needs to see the numbers.
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
    held = [sheet.located[cell.name].cell for cell in sheet.recomputer.results if cell.name not in sheet.altered]
    bare = sum(1 for cell in held if cell is not None and cell.kind == "blank")
    if bare > len(held) / 2:
        yield Note(
            place=sheet.of_file(),
            found=f"{bare} of {len(held)} formula cells without a value",
            expected="a stored value in each",
            todo="Open and save it in a spreadsheet program if somebody needs to see the numbers.",
        )
