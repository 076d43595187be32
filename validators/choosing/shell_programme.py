"""The binary programme of the shells: one pair of grades for each bearing, within what is in stock."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from validators.choosing.measured import rounded
from validators.choosing.programme import Numbers, Programme
from validators.choosing.stock_lists import ShellStock
from validators.reference.bearings import clearance_of_pairs

MOST_BOUGHT = 100


@dataclass(frozen=True)
class ShellJob:
    """What the shells of one kind of bearing are chosen from.

    Attributes
    ----------
    rooms : sequence of float
        Housing minus journal of each bearing, in the shown unit.
    walls : sequence of float
        Wall of each grade, thinnest first as offered; nan where it cannot be used.
    grades : sequence of str
        Marks of the grades.
    target, steps, thicker : numbers
        Clearance wanted; steps apart; code of the half that may be thicker.
    scale : float
        Micrometres in one shown unit.
    stock : ShellStock
        What is in stock.
    lower, upper : float
        Limits of the clearance, nan where none is set.
    """

    rooms: Sequence[float]
    walls: Sequence[float]
    grades: Sequence[str]
    target: float
    steps: float
    thicker: int
    scale: float
    stock: ShellStock
    lower: float = math.nan
    upper: float = math.nan

    @cached_property
    def pairs(self) -> list[tuple[int, int]]:
        """Every pair of grades, upper and lower from 0, the thinner upper first."""
        count = len(self.walls)
        return [(upper, lower) for upper in range(count) for lower in range(count)]

    @cached_property
    def clearances(self) -> Numbers:
        """Clearance of every bearing with every pair; nan where the pair is not allowed."""
        numbers = np.array(self.pairs) + 1
        made = clearance_of_pairs(
            np.asarray(self.rooms, dtype=float)[:, np.newaxis, np.newaxis],
            np.asarray(self.walls, dtype=float),
            numbers[:, :1],
            numbers[:, 1:],
            np.array([self.steps]),
            np.array([self.thicker]),
        )
        return np.round(np.broadcast_to(made, (len(self.rooms), len(self.pairs))), 9)

    def away(self, bearing: int, pair: int) -> float:
        """Return how far a pair leaves a bearing from the clearance wanted."""
        return rounded(abs(float(self.clearances[bearing, pair]) - self.target))

    def outside(self, bearing: int, pair: int) -> bool:
        """Return whether a pair leaves a bearing outside its limits."""
        return self.is_outside(float(self.clearances[bearing, pair]))

    def is_outside(self, clearance: float) -> bool:
        """Return whether a clearance is outside the limits, as the figures stand."""
        return rounded(clearance - self.lower) < 0 or rounded(clearance - self.upper) > 0

    def sum_of_squares(self, away: Sequence[float]) -> float:
        """Return the sum of squares of some deviations, rounded far below a micrometre in either unit."""
        return round(float(sum((value * self.scale) ** 2 for value in away)), 6) / self.scale**2


@dataclass(frozen=True, slots=True)
class Picked:
    """Pairs picked: one pair for each bearing, what had to be bought, and whether it is proved to be best."""

    pairs: tuple[int, ...]
    bought: dict[tuple[str, str], int]
    outside: int
    worst: float
    squares: float
    odd: int
    proved: bool = True

    @property
    def key(self) -> tuple[int, int, float, float, int]:
        """What answers are compared by: shells to buy, outside limits, worst, sum of squares, odd pairs."""
        return sum(self.bought.values()), self.outside, self.worst, self.squares, self.odd


class ShellProgramme:
    """Solves one `ShellJob`; every bearing must have a pair that is allowed."""

    def __init__(self, job: ShellJob) -> None:
        self.job = job
        known = ~np.isnan(job.clearances)
        self.places = [(int(b), int(p)) for b, p in np.argwhere(known)]
        self.groups = [
            [place for place, (bearing, _) in enumerate(self.places) if bearing == number]
            for number in range(len(job.rooms))
        ]
        self.uppers = np.array([job.pairs[pair][0] for _, pair in self.places])
        self.lowers = np.array([job.pairs[pair][1] for _, pair in self.places])

    def solve(self, without: Picked | None = None, *, canonical: bool = True) -> Picked | None:
        """Return the best pairs, None when there is no answer.

        The aims in order: fewest shells to buy; fewest bearings outside their limits; least worst
        deviation; least sum of squares; fewest odd pairs; odd pairs alike; larger clearances; thinner
        uppers; bearing by bearing the earlier pair.

        Parameters
        ----------
        without : Picked, optional
            An answer that at least one bearing must differ from in its clearance.
        canonical : bool
            Whether the aims after the odd pairs are followed.
        """
        programme, count = self._one_pair_each(), len(self.places)
        if without is not None:
            same = [
                place
                for place, (bearing, pair) in enumerate(self.places)
                if self.job.clearances[bearing, pair] == self.job.clearances[bearing, without.pairs[bearing]]
            ]
            programme.bind(programme.row(same), 0, len(self.groups) - 1)
        bought = self._bind_stock(programme)
        if bought:
            none = programme.solve(programme.row(list(bought)))
            if none is None:
                return None
            to_buy = float(np.sum(none[list(bought)]))
            if to_buy > 0:
                programme.bind(programme.row(list(bought)), 0, to_buy)
            else:
                programme.upper[list(bought)] = 0
        outside = programme.row(range(count), [float(self.job.outside(*place)) for place in self.places])
        if programme.best([outside]) is None:
            return None
        size = len(programme.upper)
        deviations = np.array([self.job.away(*place) for place in self.places]) * self.job.scale
        costs = np.zeros(size)
        costs[:count] = deviations
        if programme.least_worst(costs, self.groups) is None:
            return None
        aims = [
            programme.row(range(count), deviations**2),
            programme.row(range(count), self.uppers != self.lowers),
        ]
        found = programme.best(aims)
        if found is None:
            return None
        if canonical:
            found = self._canonical(programme, found)
        return self._picked(found, bought, programme.proved)

    def better_than(self, picked: Picked) -> Picked | None:
        """Return the best pairs where they beat an answer in one of the aims up to the odd pairs.

        The aims are asked one by one and only as far as needed, because this is asked once for each shell
        that might be bought. Where fewer shells are to buy the rest of the answer is not asked.
        """
        programme, count = self._one_pair_each(), len(self.places)
        bought = self._bind_stock(programme)
        spent = float(sum(picked.bought.values()))
        if bought:
            row = programme.row(list(bought))
            least = programme.solve(row)
            if least is not None and round(float(least @ row)) < spent:
                return self._picked(least, bought, programme.proved)
            programme.bind(row, 0, spent)
        outside = programme.row(range(count), [float(self.job.outside(*place)) for place in self.places])
        found = programme.solve(outside) if picked.outside else None
        if found is not None and round(float(found @ outside)) < picked.outside:
            return self.solve(canonical=False)
        programme.bind(outside, 0, picked.outside)
        away = np.array([self.job.away(*place) for place in self.places])
        nearer = programme.copy()
        nearer.upper[:count] = np.where(away >= picked.worst, 0.0, nearer.upper[:count])
        if picked.worst > 0 and nearer.solve() is not None:
            return self.solve(canonical=False)
        programme.upper[:count] = np.where(away > picked.worst, 0.0, programme.upper[:count])
        squares = programme.row(range(count), (away * self.job.scale) ** 2)
        odd = programme.row(range(count), self.uppers != self.lowers)
        found = programme.best([squares, odd])
        if found is None:
            return None
        other = self._picked(found, bought, programme.proved)
        return other if other.key < picked.key else None

    def _one_pair_each(self) -> Programme:
        programme = Programme.of_binaries(len(self.places))
        for group in self.groups:
            programme.bind(programme.row(group), 1, 1)
        return programme

    def _canonical(self, programme: Programme, found: Numbers) -> Numbers:
        """Return the one of equally good answers that the later aims single out."""
        count = len(self.places)
        if np.any((self.uppers != self.lowers)[found[:count] > 0.5]):
            side, fewer = programme.add_variables([1, len(self.groups)])
            for half, weight in ((self.uppers > self.lowers, -1.0), (self.lowers > self.uppers, 1.0)):
                row = programme.row(range(count), -half.astype(float))
                row[fewer], row[side] = 1.0, weight * len(self.groups)
                programme.bind(row, -len(self.groups) if weight < 0 else 0, np.inf)
            alike = programme.best([programme.row([fewer])])
            found = self._or(alike, found, len(programme.upper))
        clearances = np.array([self.job.clearances[place] for place in self.places]) * self.job.scale
        aims = [programme.row(range(count), -clearances), programme.row(range(count), self.uppers)]
        found = self._or(programme.best(aims, found), found, len(programme.upper))
        for group in self.groups:
            earlier = programme.row(group, range(len(group)))
            found = self._or(programme.best([earlier], found), found, len(programme.upper))
        return found

    @staticmethod
    def _or(better: Numbers | None, found: Numbers, size: int) -> Numbers:
        return np.pad(found, (0, size - len(found))) if better is None else better

    def _bind_stock(self, programme: Programme) -> dict[int, tuple[str, str]]:
        """Bind the uses of every grade by what is in stock; return the variables of what is bought."""
        stock, count = self.job.stock, len(self.places)
        if stock.unlimited:
            return {}
        halves = ("either",) if "either" in stock.halves else ("upper", "lower")
        bought: dict[int, tuple[str, str]] = {}
        for number, grade in enumerate(self.job.grades):
            upper, lower = (self.uppers == number).astype(float), (self.lowers == number).astype(float)
            if not (upper.any() or lower.any()):
                continue
            held = {half: stock.count(grade, half) for half in ("upper", "lower", "either")}
            places = programme.add_variables([MOST_BOUGHT] * len(halves))
            bought |= {place: (grade, half) for place, half in zip(places, halves, strict=True)}
            for uses, serving in (
                (upper, ("upper", "either")),
                (lower, ("lower", "either")),
                (upper + lower, ("upper", "lower", "either")),
            ):
                row = programme.row(range(count), uses)
                for place, half in zip(places, halves, strict=True):
                    row[place] = -1.0 if half in serving else 0.0
                programme.bind(row, -np.inf, sum(held[half] for half in serving))
        return bought

    def _picked(self, found: Numbers, bought: dict[int, tuple[str, str]], proved: bool) -> Picked:
        pairs = [0] * len(self.groups)
        for place, (bearing, pair) in enumerate(self.places):
            if found[place] > 0.5:
                pairs[bearing] = pair
        return self.of_pairs(
            pairs, {item: round(found[place]) for place, item in bought.items() if found[place] > 0.5}, proved
        )

    def of_pairs(
        self, pairs: Sequence[int], bought: dict[tuple[str, str], int] | None = None, proved: bool = True
    ) -> Picked:
        """Return an answer with the values that it reaches, in the shown unit."""
        away = [self.job.away(bearing, pair) for bearing, pair in enumerate(pairs)]
        odd = sum(self.job.pairs[pair][0] != self.job.pairs[pair][1] for pair in pairs)
        return Picked(
            tuple(pairs),
            bought or {},
            sum(self.job.outside(bearing, pair) for bearing, pair in enumerate(pairs)),
            max(away),
            self.job.sum_of_squares(away),
            odd,
            proved,
        )
