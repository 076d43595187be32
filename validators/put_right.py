"""What would follow if suspected slips were put right: the sheet with the repaired entries, and its verdicts.

The reference core is asked once for a sheet, with every entry repaired that a check knows a likely value
for.  Nothing in the report is computed from it but the sentence behind a suspected slip.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from validators.judged import CHECK_ENTRY, judged_cells

if TYPE_CHECKING:
    from validators.checked import Checked

MOST_NAMED = 3
GOOD = "within"


class PutRight:
    """A sheet with its suspected slips put right.

    Attributes
    ----------
    meant : dict
        Name of an entry to what it probably should be.
    words : dict
        Judged value to the verdict that the repaired sheet would have.
    """

    def __init__(self, sheet: Checked) -> None:
        from validators.checks import reading_is_text, setting_of_another, unlike_the_others

        self.sheet = sheet
        self.meant: dict[str, float | str] = {
            name: slip.meant for name, slip in sheet.slips.items() if slip.meant is not None
        }
        self.meant |= reading_is_text.meant(sheet) | unlike_the_others.meant(sheet)
        self.meant |= {odd.cell.name: odd.likelier for odd in setting_of_another.wrong_settings(sheet)}
        self.words: Mapping[str, str] = self._words() if self.meant else {}

    def _words(self) -> dict[str, str]:
        sheet = self.sheet
        again = sheet.recompute.reference([{**sheet.values, **self.meant}])
        still = sheet.unusable - self.meant.keys()
        spoilt = still | sheet.rests_on(still)
        return {
            value: CHECK_ENTRY if value in spoilt or cell in spoilt else str(again[cell][0])
            for cell, value in judged_cells(sheet)
        }

    def then(self, name: str) -> str:
        """Return, as the end of a sentence, the verdicts that an entry holds up once slips are put right."""
        if name not in self.meant:
            return ""
        words = {value: self.words[value] for value in self.sheet.holds_up([name])}
        if not words:
            return ""
        label = self.sheet.plan.by_name
        told = [
            f"{label[value].label} {word}" for value, word in words.items()
            if word != GOOD or len(words) <= MOST_NAMED
        ]
        good = sum(word == GOOD for word in words.values())
        if len(words) > MOST_NAMED:
            more = [f"{len(told) - MOST_NAMED} more not {GOOD}"] if len(told) > MOST_NAMED else []
            told = [f"{good} verdicts {GOOD}"] * (good > 0) + told[:MOST_NAMED] + more
        return f"; and then: {', '.join(told)}"
