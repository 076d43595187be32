"""Differences that come from the last binary digits of what was typed, and not from a formula.

A typed number has about sixteen digits. Where a result hangs on a difference of nearly equal numbers,
or lies exactly between two rounded values, those last digits decide, and two sound statements that
add in another order may differ. The core is asked: if it gives the sheet's value once the entries of
the same build are moved by a few units in the last place, the difference says nothing.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence

from validators.agree import agrees

COPIES, STEPS, WIDER = 32, 4, 4.0
"""Copies of the build that are tried, units in the last place, and how much wider than the copies'
own spread the sheet may lie: it rounds at every step, and the copies only at the entry."""

UNIT = 2.0**-52

Shown = float | str | None


def moved(entries: Mapping[str, Shown], seed: int) -> list[dict[str, Shown]]:
    """Return copies of a build whose numbers are moved by a few units in the last place.

    Examples
    --------
    >>> copies = moved({"bore_setting_1": 86.0, "engine_use": "marine", "pin_offset": None}, 1)
    >>> all(abs(copy["bore_setting_1"] - 86.0) < 1e-12 for copy in copies)
    True
    >>> len({copy["bore_setting_1"] for copy in copies}) > 2
    True
    """
    chance = random.Random(seed)

    def move(value: Shown) -> Shown:
        return value * (1 + chance.randint(-STEPS, STEPS) * UNIT) if isinstance(value, float) else value

    return [{name: move(value) for name, value in entries.items()} for _ in range(COPIES)]


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
