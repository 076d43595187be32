"""Differences that come from the last binary digits of what was typed, and not from a formula.

A typed number has about sixteen digits. Where a result hangs on a difference of nearly equal numbers,
or lies exactly between two rounded values, those last digits decide, and two sound statements that
add in another order may differ. The core is asked: if it gives the sheet's value once the entries of
the same build are moved by a few units in the last place, the difference says nothing.
"""

from __future__ import annotations

import random
from collections.abc import Container, Mapping, Sequence
from functools import cached_property

from sheetgen.plan import PlannedCell
from validators.agree import agrees
from validators.recompute import Recomputer
from validators.shown_again import Shown, repeated

COPIES, STEPS, WIDER = 32, 4, 4.0
"""Copies of the build that are tried, units in the last place, and how much wider than the copies'
own spread the sheet may lie: it rounds at every step, and the copies only at the entry."""

UNIT = 2.0**-52


def moved(entries: Mapping[str, Shown], seed: int, exact: Container[str] = ()) -> list[dict[str, Shown]]:
    """Return copies of a build whose numbers are moved by a few units in the last place.

    Counts stay: a typed one is exact, and a hair less than one reading is none. So do names that
    happen to be numbers: a shell of grade 3 is of no other grade by a hair.

    Examples
    --------
    >>> copies = moved({"bore_setting_1": 86.0, "engine_use": "marine", "pin_offset": None}, 1)
    >>> all(abs(copy["bore_setting_1"] - 86.0) < 1e-12 for copy in copies)
    True
    >>> len({copy["bore_setting_1"] for copy in copies}) > 2
    True
    """
    chance = random.Random(seed)

    def move(name: str, value: Shown) -> Shown:
        if not isinstance(value, float) or name in exact:
            return value
        return value * (1 + chance.randint(-STEPS, STEPS) * UNIT)

    return [{name: move(name, value) for name, value in entries.items()} for _ in range(COPIES)]


def decided(by_sheet: object, by_core: object, by_copies: Sequence[Shown]) -> bool:
    """Return whether the last digits decide: the copies do not agree, and reach the sheet's value.

    Examples
    --------
    >>> decided(0.2819, 0.2818, [0.2818, 0.2819]), decided(0.29, 0.28, [0.28, 0.2800000001])
    (True, False)
    >>> decided("within", "over", ["over", "within"]), decided("within", "over", ["over", "over"])
    (True, False)
    """
    if any(isinstance(value, str) or value is None for value in (by_sheet, by_core, *by_copies)):
        return any(isinstance(by_sheet, str | float | None) and agrees(by_sheet, copy) for copy in by_copies)
    numbers = [float(value) for value in (by_core, *by_copies)]  # type: ignore[arg-type]  # all are numbers
    middle, spread = (min(numbers) + max(numbers)) / 2, (max(numbers) - min(numbers)) / 2
    return spread > 0 and abs(float(by_sheet) - middle) <= WIDER * spread  # type: ignore[arg-type]


class MovedCopies:
    """Copies of one build, moved by a few units in the last place, and what the core gives for them.

    Parameters
    ----------
    recomputer : Recomputer
        Of the plan that is filled.
    entries : mapping of name to value
        The build.
    seed : int
        Which way they are moved.
    """

    def __init__(self, recomputer: Recomputer, entries: Mapping[str, Shown], seed: int = 0) -> None:
        catalogue = recomputer.plan.catalogue
        exact = {
            cell.name
            for key, cells in recomputer.plan.by_key.items()
            if catalogue.entries[key].measure in ("", "count")
            for cell in cells
        }
        self.recomputer, self.entries = recomputer, moved(entries, seed, exact)

    @cached_property
    def by_core(self) -> Mapping[str, Sequence[Shown]]:
        """Every named result, one value for each copy."""
        return self.recomputer.reference(self.entries)

    def decide(self, cell: PlannedCell, by_sheet: object, by_core: object) -> bool:
        """Return whether a formula cell's value and the core's differ by nothing but those last digits.

        Never those of a floor or ceiling, which the core does not state: it is what was typed, or a
        constant. Nor do they make a text of what is a number or nothing.
        """
        plan = self.recomputer.plan
        entry = plan.catalogue.entries.get(cell.key)
        if entry is not None and entry.measure and isinstance(by_sheet, str) and by_sheet:
            return False
        if cell.name and cell.name not in self.by_core:
            return False
        found = self.by_core[cell.name] if cell.name else repeated(plan, cell, self.entries, self.by_core)
        return decided(by_sheet, by_core, found)
