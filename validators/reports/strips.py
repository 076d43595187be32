"""What the charts of a report show, as plain numbers: values against their limits, and a whole pile."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from validators.findings import BatchReport, Verdict

WORDS = (
    "over", "under", "too close to call", "check entry", "check limits", "not measured", "no limit set",
    "within",
)
OUT = ("over", "under")
JUDGED = (*OUT, "too close to call", "within")
MOST_NAMED = 6
BINS = 24
FAR, FINEST = 1e9, 1e-9  # what nothing measures
WIDTH = 300.0  # of a chart, in its own units
LANE, MOST_LANES = 6.0, 8
LEAST_TELLING = 4.0  # how high one value among thousands stands, so that it is seen


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


@dataclass(frozen=True)
class Bar:
    """One bar of a pile: its place, and how high each kind of word stands, from the bottom up."""

    x: float
    width: float
    parts: tuple[tuple[str, float, float, int], ...]  # kind, y, height, count


@dataclass(frozen=True)
class Spread:
    """One quantity over a pile of files."""

    title: str
    sheet: str
    places: str
    unit: str
    words: tuple[tuple[str, int], ...]
    files: int
    marks: tuple[tuple[float, str], ...]  # where limits stand, and what is written there
    bars: tuple[Bar, ...]
    note: str

    @property
    def settled(self) -> bool:
        """Whether nothing here asks for anybody."""
        return all(word in ("within", "not measured", "no limit set") for word, _ in self.words)


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
    room = (most - least) or max(abs(least), 4 * guard) or min(max(map(abs, values), default=0.0), FAR)
    room = max(room, FINEST)
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
    counts = Counter(verdict.word for verdict in verdicts)
    order = {word: rank for rank, word in enumerate(WORDS)}
    return tuple(sorted(counts.items(), key=lambda pair: (order.get(pair[0], -1), pair[0])))


def _place(verdict: Verdict) -> str:
    return verdict.label.removeprefix(verdict.title).strip(", ")


def _kind(group: list[Verdict]) -> str:
    """Return what all places have in common, such as "cylinder"."""
    parts = [re.sub(r" ?\d+", "", _place(verdict)).split(", ") for verdict in group]
    return ", ".join(part for part in parts[0] if all(part in other for other in parts))


def _places(group: list[Verdict]) -> str:
    first, last = _place(group[0]), _place(group[-1])
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


def spreads_of(report: BatchReport) -> tuple[Spread, ...]:
    """Return each limited quantity over all files, those that ask for somebody first."""
    grouped: dict[str, list[tuple[int, Verdict]]] = {}
    for number, sheet in enumerate(report.sheets):
        for verdict in sheet.verdicts:
            grouped.setdefault(verdict.key or verdict.name, []).append((number, verdict))
    spreads = [spread for group in grouped.values() if (spread := _spread(group)) is not None]
    return tuple(sorted(spreads, key=_most_out_first))


def _most_out_first(spread: Spread) -> tuple[int, int]:
    counts = dict(spread.words)
    return -sum(counts.get(word, 0) for word in OUT), -counts.get("too close to call", 0)


def _spread(group: list[tuple[int, Verdict]]) -> Spread | None:
    judged = [(n, v) for n, v in group if v.word in JUDGED and v.value is not None]
    if not judged:
        return None
    first = judged[0][1]
    limits = {(v.lower, v.upper, v.unit) for _, v in judged}
    if len(limits) == 1:
        axis = axis_for(first.lower, first.upper, [v.value for _, v in judged if v.value is not None])
        digits = max(v.decimals for _, v in judged)
        marks = [(limit, said(limit, digits)) for limit in (first.lower, first.upper)
                 if limit is not None]
        placed = [(v.value or 0.0, v.word) for _, v in judged]
        unit, note = first.unit, ""
    else:
        placed = [(at, v.word) for _, v in judged if (at := _share(v)) is not None]
        sides = (0.0, "lower limit"), (1.0, "upper limit")
        has = any(v.lower is not None for _, v in judged), any(v.upper is not None for _, v in judged)
        marks = [side for side, there in zip(sides, has, strict=True) if there]
        axis = Axis(-0.5, 1.5) if placed else None
        unit, note = "", "each between its own limits"
    return Spread(
        title=first.title or first.label, sheet=first.place.sheet, unit=unit,
        places=_kind([v for _, v in group]),
        words=words_of(v for _, v in group), files=len({n for n, _ in judged}),
        marks=tuple((axis.at(value), told) for value, told in marks) if axis else (),
        bars=tuple(_bars(placed, axis)) if axis else (), note=note if axis else "",
    )


def _share(verdict: Verdict) -> float | None:
    """Return where a value lies between its limits, 0 at the lower and 1 at the upper.

    With one limit, nothing stands for the missing lower one and twice the limit for the missing upper one.
    """
    lower, upper = verdict.lower, verdict.upper
    if lower is None and upper is not None and upper > 0:
        lower = 0.0
    if upper is None and lower is not None and lower > 0:
        upper = 2 * lower
    if verdict.value is None or lower is None or upper is None or upper <= lower:
        return None
    return (verdict.value - lower) / (upper - lower)


def _bars(placed: list[tuple[float, str]], axis: Axis) -> Iterator[Bar]:
    width = WIDTH / BINS
    bins: list[Counter[str]] = [Counter() for _ in range(BINS)]
    for value, word in placed:
        kind = "out" if word in OUT else "close" if word == "too close to call" else "within"
        bins[min(int(axis.at(value) / width), BINS - 1)][kind] += 1
    most = max(sum(counts.values()) for counts in bins)
    for place, counts in enumerate(bins):
        parts, top = [], 40.0
        for kind in ("within", "close", "out"):
            if counts[kind]:
                height = max(round(36.0 * counts[kind] / most, 1), 1.0 if kind == "within" else LEAST_TELLING)
                top = round(top - height, 1)
                parts.append((kind, top, height, counts[kind]))
        if parts:
            yield Bar(round(place * width + 0.75, 2), round(width - 1.5, 2), tuple(parts))
