"""A sheet is not there under its name.

What it finds: a sheet of the workbook that was deleted or renamed.
Why it matters: what a deleted sheet held is lost; a renamed one is still read, through the names of its
cells.
Example: "Bores" is now called "Bores final".
What to do: give the sheet its name back, or send the copy that still has it.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.errors import quoted
from validators.findings import Note, Severity

CODE = "CELL01"
NAME = "sheet-missing"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """Compare the titles of the sheets with the plan's."""
    for title, now in sheet.places.titles.items():
        if now is None:
            names = [cell.name for cell in sheet.plan.cells if cell.sheet == title and cell.name]
            yield Note(
                place=sheet.of_file(title),
                found="the sheet is not in the file",
                expected=f"a sheet called '{title}'",
                todo="Send a copy that still has this sheet, or fill in the workbook that was issued again.",
                holds_up=sheet.holds_up(names),
            )
        elif now.casefold() != title.casefold():
            yield Note(
                place=sheet.of_file(now),
                severity=Severity.LOOK,
                found=f"the sheet '{title}' is called {quoted(now)}",
                expected=f"a sheet called '{title}'",
                todo=f"Call the sheet '{title}' again.",
            )
