"""How each quantity lies over a whole pile, as plain numbers, whatever the number of files.

The files are gone through twice: once for the scale of each quantity, once to count what lies where. So
nothing of a file is held but those counts.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from validators.findings import BatchReport, Verdict
from validators.reports.strips import FAR, OUT, WIDTH, Axis, axis_for, ordered, place_in, room_at, said

JUDGED = (*OUT, "too close to call", "within")
BINS = 24
LEAST_TELLING = 4.0  # how high one value among thousands stands, so that it is seen
SIDES = (0.0, "lower limit"), (1.0, "upper limit")


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


def spreads_of(report: BatchReport) -> tuple[Spread, ...]:
    """Return each limited quantity over all files, those that ask for somebody first."""
    gathered: dict[str, _Gathered] = {}
    for number, verdict in _verdicts(report):
        key = verdict.key or verdict.name
        if key not in gathered:
            gathered[key] = _Gathered()
        gathered[key].add(number, verdict)
    for quantity in gathered.values():
        quantity.settle()
    for _, verdict in _verdicts(report):
        gathered[verdict.key or verdict.name].place(verdict)
    spreads = [quantity.spread() for quantity in gathered.values() if quantity.first is not None]
    return tuple(sorted(spreads, key=_most_out_first))


def _verdicts(report: BatchReport) -> Iterator[tuple[int, Verdict]]:
    for number in range(len(report.sheets)):
        for verdict in report.told(number).verdicts:
            yield number, verdict


def _most_out_first(spread: Spread) -> tuple[int, int]:
    counts = dict(spread.words)
    return -sum(counts.get(word, 0) for word in OUT), -counts.get("too close to call", 0)


class _Gathered:
    """What is known of one quantity while the files are gone through."""

    def __init__(self) -> None:
        self.first: Verdict | None = None
        self.words: Counter[str] = Counter()
        self._kind: list[str] | None = None
        self._same_limits = True
        self._has_lower = self._has_upper = self._has_share = False
        self._digits = self._files = 0
        self._last = -1
        self._values: list[float] = []  # the least and the greatest, of all and of those near the limits
        self._near: list[float] = []
        self._axis: Axis | None = None
        self._bins: list[Counter[str]] = [Counter() for _ in range(BINS)]

    def add(self, number: int, verdict: Verdict) -> None:
        """Take note of a verdict of a file, for the scale."""
        self.words[verdict.word] += 1
        parts = _parts(place_in(verdict))
        self._kind = list(parts) if self._kind is None else [part for part in self._kind if part in parts]
        if verdict.value is None or verdict.word not in JUDGED:
            return
        first = self.first = self.first or verdict
        self._files += number != self._last
        self._last = number
        self._same_limits &= _limits(verdict) == _limits(first)
        self._has_lower |= verdict.lower is not None
        self._has_upper |= verdict.upper is not None
        self._has_share |= _share(verdict) is not None
        self._digits = max(self._digits, verdict.decimals)
        self._values = _ends([*self._values, verdict.value])
        if _is_near(verdict.value, first):
            self._near = _ends([*self._near, verdict.value])

    def settle(self) -> None:
        """Choose the scale, once every file was seen."""
        if self.first is None:
            return
        if self._same_limits:
            self._axis = axis_for(self.first.lower, self.first.upper, [*self._values, *self._near])
        elif self._has_share:
            self._axis = Axis(-0.5, 1.5)

    def place(self, verdict: Verdict) -> None:
        """Count a verdict where it lies on the scale."""
        if self._axis is None or verdict.value is None or verdict.word not in JUDGED:
            return
        at = verdict.value if self._same_limits else _share(verdict)
        if at is not None:
            word = verdict.word
            kind = "out" if word in OUT else "close" if word == "too close to call" else "within"
            self._bins[min(int(self._axis.at(at) / (WIDTH / BINS)), BINS - 1)][kind] += 1

    def spread(self) -> Spread:
        """Return how the quantity lies over the pile."""
        first = self.first
        assert first is not None
        if self._same_limits:
            limits = (limit for limit in (first.lower, first.upper) if limit is not None)
            marks = [(limit, said(limit, self._digits)) for limit in limits]
        else:
            has = self._has_lower, self._has_upper
            marks = [side for side, there in zip(SIDES, has, strict=True) if there]
        axis = self._axis
        note = "" if self._same_limits or axis is None else "each between its own limits"
        return Spread(
            title=first.title or first.label, sheet=first.place.sheet,
            unit=first.unit if self._same_limits else "", places=", ".join(self._kind or ()),
            words=ordered(self.words), files=self._files,
            marks=tuple((axis.at(value), told) for value, told in marks) if axis else (),
            bars=tuple(_bars(self._bins)) if axis else (), note=note,
        )


@lru_cache(maxsize=4096)
def _parts(place: str) -> tuple[str, ...]:
    """Return what a place has in common with others of its kind, such as "cylinder"."""
    return tuple(re.sub(r" ?\d+", "", place).split(", "))


def _limits(verdict: Verdict) -> tuple[float | None, float | None, str]:
    return verdict.lower, verdict.upper, verdict.unit


def _ends(values: list[float]) -> list[float]:
    return [min(values), max(values)]


def _is_near(value: float, first: Verdict) -> bool:
    """Return whether a value may lie on a scale for these limits."""
    limits = [limit for limit in (first.lower, first.upper) if limit is not None]
    if not limits:
        return False
    room = room_at(min(limits), max(limits), FAR)
    return min(limits) - room <= value <= max(limits) + room


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


def _bars(bins: list[Counter[str]]) -> Iterator[Bar]:
    width = WIDTH / BINS
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
