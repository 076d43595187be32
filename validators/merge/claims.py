"""What each copy says about one entry, and whether they can all be right."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from openpyxl.utils.datetime import MAC_EPOCH, WINDOWS_EPOCH, to_excel

from sheetgen.plan import Plan, PlannedCell
from validators.agree import agrees
from validators.checked import Checked
from validators.compare.comparison import entry_text
from validators.gauged import gauged, gauges_sheet, rests_on_setting
from validators.readings import stored_day

Value = float | str | None
UNWRITABLE = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
LONGEST_TEXT = 32_767


@dataclass(frozen=True, slots=True)
class Claim:
    """What one copy says of one entry.

    Attributes
    ----------
    file : str
        Which copy.
    value : float, str or None
        What can be typed into the merged workbook.
    told : str
        What stands in the cell, as a person reads it.
    as_issued : bool
        Whether it stands as it was sent out, and counts only because readings of this copy rest on it.
    fault : str
        Why it cannot be taken, "" when it can.
    """

    file: str
    value: Value
    told: str
    as_issued: bool = False
    fault: str = ""


class Claims:
    """What several copies of one workbook say, entry by entry."""

    def __init__(self, copies: Sequence[Checked], files: Sequence[str]) -> None:
        self.copies, self.files = copies, files
        self.plan: Plan = copies[0].plan
        self.gauges = gauges_sheet(self.plan)
        self.issued: Mapping[str, Value] = {
            cell.name: issued_value(self.plan, cell) for cell in self.plan.cells if cell.is_input
        }

    @cached_property
    def readings(self) -> tuple[frozenset[str], ...]:
        """The readings of parts that each copy fills."""
        entries = self.plan.catalogue.entries
        cells = [
            cell
            for cell in self.plan.cells
            if cell.is_input and gauged(self.plan.catalogue, entries[cell.key]) is not None
        ]
        return tuple(
            frozenset(cell.name for cell in cells if copy.entries[cell.name].text.strip())
            for copy in self.copies
        )

    def about(self, cell: PlannedCell) -> tuple[Claim, ...]:
        """Return what the copies say of an entry; a copy that leaves it as issued says nothing.

        How a gauge is set, and how good it is, gives every reading of that gauge its meaning: there a copy
        with such readings speaks even where it leaves the entry as issued, unless that is blank.  Where a
        copy clears what was given, or types what cannot be taken, every copy is heard.
        """
        claims: list[tuple[Claim, bool]] = []
        for number, (copy, file) in enumerate(zip(self.copies, self.files, strict=True)):
            claim = self._claim(copy, file, cell)
            said = claim.value is not None and cell.sheet == self.gauges
            used = said and self._used(number, cell.name)
            claims.append((claim, used))
        changed = [claim for claim, _ in claims if not claim.as_issued]
        if any(claim.value is None for claim in changed):  # cleared or unusable: all are heard
            return tuple(claim for claim, _ in claims)
        return tuple(claim for claim, used in claims if used or not claim.as_issued) if changed else ()

    def _used(self, number: int, setting: str) -> bool:
        return any(rests_on_setting(self.plan, setting, reading) for reading in self.readings[number])

    def _claim(self, copy: Checked, file: str, cell: PlannedCell) -> Claim:
        reading, told = copy.entries[cell.name], entry_text(copy, cell)
        value = reading.value
        entry = self.plan.catalogue.entries[cell.key]
        if reading.located.cell is None or reading.located.alone:
            return Claim(file, None, told, fault="its cell is not where it was")
        if reading.fault not in ("", "spaces"):
            return Claim(file, None, told, fault=FAULTS[reading.fault])
        if isinstance(value, str) and (UNWRITABLE.search(value) or len(value) > LONGEST_TEXT):
            return Claim(file, None, told, fault="it holds characters that no workbook can")
        if entry.text == "date" and isinstance(value, float) and copy.returned.counts_from_1904:
            value += to_excel(MAC_EPOCH, WINDOWS_EPOCH)
        return Claim(file, value, told, as_issued=same_entry(value, self.issued[cell.name], entry.text))


FAULTS = {
    "text": "text where a number or date belongs",
    "error": "an error value",
    "bool": "TRUE or FALSE",
    "formula": "a formula where an entry belongs",
    "word": "a word that is not in the list",
    "date": "a date where none belongs",
    "undated": "no date of this century",
}


def issued_value(plan: Plan, cell: PlannedCell) -> Value:
    """Return what stood in an entry when the workbook went out."""
    value = cell.value
    if value is None or value == "":
        return None
    if plan.catalogue.entries[cell.key].text == "date":
        return stored_day(str(value))
    return float(value) if isinstance(value, int | float) else str(value)


def same_entry(one: Value, other: Value, text: str = "") -> bool:
    """Return whether two entries say the same: capitals count only in free text.

    Examples
    --------
    >>> same_entry("p1", "P1", "mark"), same_entry("Ada", "ADA", "note"), same_entry(None, "")
    (True, False, True)
    """
    if text == "note" and isinstance(one, str) and isinstance(other, str):
        return one.strip() == other.strip()
    said, claimed = (value.strip() if isinstance(value, str) else value for value in (one, other))
    return agrees(said, claimed)
