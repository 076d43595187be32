"""The workbook with the choice entered: written anew from its plan, so that every formula is sound."""

from __future__ import annotations

from typing import Any

from sheetgen.fill import fill_workbook
from sheetgen.workbook import workbook_bytes
from validators.checked import Checked
from validators.choosing.answers import Choice
from validators.choosing.choose import typed
from validators.sealed import seal_of

DAYS_FROM_1900_TO_1904 = 1462.0


def entered(sheet: Checked, choice: Choice) -> bytes:
    """Return a copy of a workbook with the choice entered; everything else is typed as it came back.

    What was changed in printed texts and formulas of the returned file is not carried over.
    """
    plan = sheet.plan
    entries: dict[str, Any] = {}
    for name, reading in sheet.entries.items():
        value = typed(sheet, name)
        entry = plan.catalogue.entries[reading.planned.key]
        if entry.text == "date" and isinstance(value, float) and sheet.returned.counts_from_1904:
            value += DAYS_FROM_1900_TO_1904
        entries[name] = value
    entries |= choice.changes
    return fill_workbook(workbook_bytes(plan, stored_values=False, seal=seal_of(sheet)), plan, entries)
