"""Verdicts in rows: one judged quantity, its limits, and a value with its word for each place."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sheetgen.catalogue import FAMILIES
from validators.checked import Checked
from validators.findings import Verdict
from validators.judged import CHOICE_AXIS, telling_digits

DECIDED = ("within", "not measured", "no limit set")
"""Words beside which a value needs no more decimals than its cell shows."""

MANY = ("rodbolt",)
"""The axis whose places are named beside their values, several to a part."""

SMALLEST = 1e-6
"""What is smaller, in any shown unit, is printed as zero."""

FINEST = (4, 5)
"""Decimals of an uncertainty that make sense on paper, in millimetres and in inches."""


@dataclass(frozen=True, slots=True)
class Judged:
    """One value, its word, and its own limits where they differ from place to place."""

    place: str
    value: str
    word: str
    limits: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """One judged quantity."""

    label: str
    each: str
    limits: str
    guard: str
    origin: str
    values: tuple[Judged, ...]
    many: bool = False
    """Whether there are more places than parts of the engine's own number, so that lines are broken."""

    @property
    def shared_word(self) -> str:
        """The word that goes for all places and asks for nobody, "" where there is none."""
        words = {judged.word for judged in self.values}
        return words.pop() if len(words) == 1 and words < set(DECIDED) else ""

    @property
    def only_word(self) -> str:
        """The word, when no place has a value and all have the same word."""
        words = {judged.word for judged in self.values}
        return words.pop() if len(words) == 1 and not any(judged.value for judged in self.values) else ""


def rows_of(sheet: Checked, verdicts: Sequence[Verdict]) -> Iterator[Row]:
    """Yield a row for each judged quantity, and for each ring or rail of it."""
    grouped: dict[tuple[str, tuple[str, ...]], list[Verdict]] = {}
    for verdict in verdicts:
        cell = sheet.plan.by_name[verdict.name]
        grouped.setdefault((cell.key, cell.index[1:]), []).append(verdict)
    family = sheet.plan.build.family
    for (key, rest), told in grouped.items():
        entry, axes = sheet.plan.catalogue.entries[key], sheet.plan.catalogue.axes
        inner = [axes[axis].elements[label] for axis, label in zip(entry.over[1:], rest, strict=True)]
        places = decimals(sheet, key)
        # More digits where a word of the row needs them; else as the cells show.
        needed = max(telling_digits(verdict, places) for verdict in told)
        limits = [limits_told(verdict, needed) for verdict in told]
        guards = [verdict.guard for verdict in told if verdict.guard is not None]
        alike = len(set(limits)) == 1
        unit = sheet.plan.unit(key)
        single = not entry.over or entry.over == (CHOICE_AXIS,)
        yield Row(
            label=", ".join([entry.label, *inner]) + (f", {unit}" if unit else ""),
            each="" if single else axes[entry.over[0]].label,
            limits=limits[0] if alike else "own for each",
            guard=_guard(
                guards,
                needed + 1 if needed > places
                else min(places + 1, max(places, FINEST[FAMILIES.index(family)])),
            ),
            origin=told[0].origin,
            many=entry.over[:1] == MANY,
            values=tuple(
                Judged(
                    place="" if single else sheet.plan.by_name[verdict.name].index[0],
                    value="" if verdict.value is None else figure(
                        verdict.value,
                        max(places + (verdict.word not in DECIDED), telling_digits(verdict, places)),
                    ),
                    word=verdict.word,
                    limits="" if alike else own,
                )
                for verdict, own in zip(told, limits, strict=True)
            ),
        )


def limits_told(verdict: Verdict, places: int) -> str:
    """Return a pair of limits in words."""
    lower, upper = verdict.lower, verdict.upper
    if lower is not None and upper is not None:
        if lower == -upper and upper > 0:
            return f"±{figure(upper, places)}"
        return f"{figure(lower, places)} to {figure(upper, places)}"
    if lower is not None:
        return f"at least {figure(lower, places)}"
    return f"at most {figure(upper, places)}" if upper is not None else "no limit set"


def figure(value: float, places: int) -> str:
    """Return a number with a fixed number of decimals and a proper minus; more where it would mislead.

    Examples
    --------
    >>> figure(-0.25, 3), figure(0.0004, 3), figure(95.0, 0)
    ('−0.250', '0.0004', '95')
    """
    if abs(value) < SMALLEST:
        value = 0.0
    elif abs(value) < 10.0**-places:
        places = -math.floor(math.log10(abs(value)))
    return f"{value:.{places}f}".replace("-", "−")


def decimals(sheet: Checked, key: str) -> int:
    """Return how many decimals the cells of a quantity show."""
    measure = sheet.plan.catalogue.measure_of(key)
    return measure.decimals[FAMILIES.index(sheet.plan.build.family)] if measure else 0


def _guard(guards: Sequence[float], places: int) -> str:
    if not guards or not any(guards):
        return "" if not guards else "typed"
    told = {figure(guard, places) for guard in guards}
    return told.pop() if len(told) == 1 else f"≤ {figure(max(guards), places)}"
