"""A sheet was added or hidden.

What it finds: a sheet that the workbook was not written with, or one of ours that was hidden.
Why it matters: nothing on an added sheet is checked; a hidden sheet may be overlooked.
Example: a sheet "Notes from the shop".
What to do: read it yourself, or show the sheet again.
"""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen.plan import BIRTH_SHEET
from validators.checked import Checked
from validators.errors import quoted
from validators.findings import Note, Severity

CODE = "CELL11"
NAME = "sheet-added"
SEVERITY = Severity.INFORMATION


def find(sheet: Checked) -> Iterator[Note]:
    """List sheets that are not the plan's, and visible ones that were hidden."""
    ours = {now.casefold() for now in sheet.places.titles.values() if now is not None}
    for held in sheet.returned.sheets:
        if held.title.casefold() == BIRTH_SHEET.casefold():
            continue
        if held.title.casefold() not in ours:
            yield Note(
                place=sheet.of_file(held.title),
                found=f"a sheet called {quoted(held.title)}",
                expected="only the sheets that were written",
                todo="Read it yourself: nothing on it is checked.",
            )
        elif held.visible != "visible":
            yield Note(
                place=sheet.of_file(held.title),
                found="the sheet is hidden",
                expected="a visible sheet",
                todo="Show the sheet again.",
            )
