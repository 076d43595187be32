"""What the charts of one file show, as plain numbers: values against their limits."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from validators.findings import Brief, Verdict

WORDS = (
    "over", "under", "too close to call", "check entry", "check limits", "not measured", "no limit set",
    "within",
)
OUT = ("over", "under")
MOST_NAMED = 6
FAR, FINEST = 1e9, 1e-9  # what nothing measures
WIDTH = 300.0  # of a chart, in its own units
LANE, MOST_LANES = 6.0, 8


@dataclass(frozen=True)
class Axis:
    """A scale from left to right that never reaches farther than one room beyond the limits."""

    low: float
    high: float

    def at(self, value: float) -> float:
        """Return where a value stands; what lies beyond the scale stands at its end."""
        share = (value - self.low) / (self.high - self.low)
        return round(WIDTH * min(max(share, 0.0), 1.0), 1)

    def holds(self, value: float) -> bool:
        """Return whether a value lies on the scale."""
        return self.low <= value <= self.high


@dataclass(frozen=True)
class Point:
    """One value on a strip."""

    x: float
    y: float
    word: str
    beyond: str  # "", "left" or "right" when it lies outside the scale
    told: str


@dataclass(frozen=True)
class Strip:
    """All places of one quantity that share their limits, in one file."""

    title: str
    sheet: str
    places: str
    unit: str
    decimals: int
    lower: float | None
    upper: float | None
    guard: float
    origin: str
    words: tuple[tuple[str, int], ...]
    named: tuple[Verdict, ...]  # those that are not within, for the text
    more: int
    points: tuple[Point, ...]
    axis: Axis | None
    height: float
    values: tuple[float, ...]

    @property
    def settled(self) -> bool:
        """Whether nothing here asks for anybody."""
        return all(word in ("within", "not measured", "no limit set") for word, _ in self.words)

    @property
    def drawn(self) -> bool:
        """Whether there is anything to draw."""
        return self.axis is not None and bool(self.points)

    def number(self, value: float) -> str:
        """Return a number as it is worth saying."""
        return said(value, self.decimals)

    def told(self, value: float) -> str:
        """Return a number with its unit."""
        return f"{self.number(value)} {self.unit}".rstrip()


def strips_of(verdicts: Iterable[Verdict]) -> tuple[Strip, ...]:
    """Return one strip for each quantity and pair of limits, in the order of the sheets."""
    grouped: dict[tuple[str, str, float | None, float | None], list[Verdict]] = {}
    for verdict in verdicts:
        shown = max(verdict.decimals - 1, 0)  # limits that follow from another size differ by nothing seen
        lower, upper = (None if x is None else round(x, shown) for x in (verdict.lower, verdict.upper))
        grouped.setdefault((verdict.key or verdict.name, verdict.unit, lower, upper), []).append(verdict)
    return tuple(_strip(group) for group in grouped.values())


def axis_for(
    lower: float | None, upper: float | None, values: Sequence[float], guard: float = 0.0
) -> Axis | None:
    """Return a scale for values and limits, None where no limit is set or it is beyond all measure.

    Examples
    --------
    >>> axis_for(5.0, 7.0, [6.0, 990.0])
    Axis(low=4.3, high=9.0)
    """
    limits = [limit for limit in (lower, upper) if limit is not None]
    if not limits or max(map(abs, limits)) > FAR:
        return None
    least, most = min(limits), max(limits)
    room = room_at(least, most, max(map(abs, values), default=0.0), guard)
    margin = max(0.35 * room, min(1.5 * guard, room))
    near = [value for value in values if least - room <= value <= most + room]
    low = min([least - margin, *(value - 0.05 * room for value in near)])
    high = max([most + margin, *(value + 0.05 * room for value in near)])
    if lower is None and most > 0 and min(values, default=0.0) >= 0:
        low = 0.0
    if any(value < least - room for value in values):
        low = least - room
    if any(value > most + room for value in values):
        high = most + room
    return Axis(low, high)


def room_at(least: float, most: float, greatest: float, guard: float = 0.0) -> float:
    """Return how far beyond the limits a scale reaches at most; `greatest` is the largest value's size."""
    return max((most - least) or max(abs(least), 4 * guard) or min(greatest, FAR), FINEST)


def said(value: float, decimals: int) -> str:
    """Return a number as it is worth saying; one that nothing could measure is kept short.

    Examples
    --------
    >>> said(0.05, 4), said(1e300, 4)
    ('0.0500', '1e+300')
    """
    return f"{value:.{decimals}f}" if abs(value) < FAR else f"{value:.6g}"


def words_of(verdicts: Iterable[Verdict]) -> tuple[tuple[str, int], ...]:
    """Return how often each word stands, what asks for somebody first."""
    return ordered(Counter(verdict.word for verdict in verdicts))


def words_in(briefs: Iterable[Brief]) -> tuple[tuple[str, int], ...]:
    """Return how often each word stands in several files, what asks for somebody first."""
    counts: Counter[str] = Counter()
    for brief in briefs:
        counts.update(dict(brief.words))
    return ordered(counts)


def ordered(counts: Mapping[str, int]) -> tuple[tuple[str, int], ...]:
    """Return words with their counts, what asks for somebody first."""
    order = {word: rank for rank, word in enumerate(WORDS)}
    return tuple(sorted(counts.items(), key=lambda pair: (order.get(pair[0], -1), pair[0])))


def place_in(verdict: Verdict) -> str:
    """Return which place of its quantity a verdict is about."""
    return verdict.label.removeprefix(verdict.title).strip(", ")


def _places(group: list[Verdict]) -> str:
    first, last = place_in(group[0]), place_in(group[-1])
    return first if first == last else f"{first} to {last}"


def _strip(group: list[Verdict]) -> Strip:
    first = group[0]
    values = tuple(v.value for v in group if v.value is not None)
    guard = max((v.guard or 0.0 for v in group), default=0.0)
    axis = axis_for(first.lower, first.upper, values, guard)
    lanes = min(len(group), MOST_LANES)
    named = [v for v in group if v.word not in ("within", "not measured", "no limit set")]
    return Strip(
        title=first.title or first.label, sheet=first.place.sheet, places=_places(group), unit=first.unit,
        decimals=max(verdict.decimals for verdict in group),
        lower=first.lower, upper=first.upper, guard=guard, origin=first.origin, words=words_of(group),
        named=tuple(named[:MOST_NAMED]), more=max(len(named) - MOST_NAMED, 0),
        points=tuple(_points(group, axis, lanes)) if axis is not None else (), axis=axis,
        height=LANE * lanes + 6, values=values,
    )


def _points(group: list[Verdict], axis: Axis, lanes: int) -> Iterator[Point]:
    for place, verdict in enumerate(group):
        if verdict.value is None:
            continue
        beyond = "" if axis.holds(verdict.value) else "left" if verdict.value < axis.low else "right"
        yield Point(
            x=axis.at(verdict.value), y=6 + LANE * (place % lanes), word=verdict.word, beyond=beyond,
            told=f"{verdict.label}: {said(verdict.value, verdict.decimals)} {verdict.unit}, {verdict.word}",
        )
