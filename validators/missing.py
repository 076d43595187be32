"""Why a judged value is not there: which blank entries it waits for, or where it cannot be computed."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from sheetgen.plan import PlannedCell
from validators.findings import Verdict
from validators.judged import may_be_open

if TYPE_CHECKING:
    from validators.checked import Checked

WAITING = frozenset({"waiting", "check entry", "not measured"})
"""States that a result passes on when something before it is missing."""

NOT_MEASURED = "not measured"


@dataclass(frozen=True, slots=True)
class Unmeasured:
    """Verdicts that read "not measured" for the same reason.

    Attributes
    ----------
    verdicts : tuple of Verdict
        In the order of the sheet.
    blank : tuple of PlannedCell
        Blank entries that they wait for.
    stuck : tuple of PlannedCell
        Results that everything is there for and that still cannot be computed.
    """

    verdicts: tuple[Verdict, ...]
    blank: tuple[PlannedCell, ...]
    stuck: tuple[PlannedCell, ...]


class Missing:
    """Walks back from what is not measured to what it waits for."""

    def __init__(self, sheet: Checked) -> None:
        self.sheet = sheet

    @cached_property
    def required(self) -> frozenset[str]:
        """The quantities that must be entered whatever the job is."""
        return frozenset(key for keys in self.sheet.plan.stage_inputs.values() for key in keys)

    @cached_property
    def unmeasured(self) -> tuple[Unmeasured, ...]:
        """What must be judged and is not measured, reason by reason.

        What waits for an entry that must be made anyhow, that was given and cleared, or that must be put
        right, is left out: that is said of the entry.
        """
        grouped: dict[frozenset[str], list[Verdict]] = {}
        told: dict[frozenset[str], tuple[set[str], set[str]]] = {}
        for verdict in self.sheet.verdicts:
            cell = self.sheet.plan.by_name[verdict.name]
            if verdict.word != NOT_MEASURED or may_be_open(self.sheet, cell.key):
                continue
            blank, stuck = self.reasons(verdict.name)
            cells = [self.sheet.plan.by_name[name] for name in blank]
            if not any(cell.key in self.required or self.sheet.was_given(cell) for cell in cells):
                why = frozenset(self.sheet.plan.by_name[name].key for name in blank or stuck)
                grouped.setdefault(why, []).append(verdict)
                before = told.setdefault(why, (set(), set()))
                before[0].update(blank)
                before[1].update(stuck)
        return tuple(
            Unmeasured(tuple(verdicts), *(self._in_order(names) for names in told[why]))
            for why, verdicts in grouped.items()
        )

    def reasons(self, name: str) -> tuple[set[str], set[str]]:
        """Return the blank entries, and the results that cannot be computed, behind a judged value."""
        start = name
        if name in self.sheet.entries or not self._is_missing(name):  # the guard is what is missing
            start = next(word for word, value in self.sheet.judged_values.items() if value == name)
        blank: set[str] = set()
        stuck: set[str] = set()
        seen = {start}
        waiting = [start]
        while waiting:
            at = waiting.pop()
            missing = [p for p in self._precedents(at) if self._is_missing(p)]
            if not missing:
                stuck.add(at)
            for precedent in missing:
                if precedent in self.sheet.entries:
                    blank.add(precedent)
                elif precedent not in seen:
                    seen.add(precedent)
                    waiting.append(precedent)
        return blank, stuck

    def _precedents(self, name: str) -> set[str]:
        return self.sheet.recompute.dependence.precedents.get(name, set())

    def _is_missing(self, name: str) -> bool:
        reading = self.sheet.entries.get(name)
        if reading is not None:
            return reading.is_blank
        if name not in self.sheet.reference:
            return False  # a constant, or a limit's stand-in
        value = self.sheet.reference[name]
        return value is None or value == "" or value in WAITING

    def _in_order(self, names: set[str]) -> tuple[PlannedCell, ...]:
        return tuple(cell for cell in self.sheet.plan.cells if cell.name in names) if names else ()
