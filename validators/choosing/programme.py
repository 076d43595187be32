"""Binary programmes, solved stage by stage: best by the first aim, among those by the second, and so on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

Numbers = np.ndarray[Any, Any]
EQUAL_WITHIN = 1e-6
"""Two values of one aim are equal when they differ by less (lengths are in micrometres)."""
MOST_NODES = 20_000
"""Branches that one stage may try: a count and not a time, so that the same input gives the same answer."""


@dataclass
class Programme:
    """What may be chosen: variables from 0 to `upper`, whole where `whole` says so, and rows that bind them.

    Attributes
    ----------
    upper : array
        Highest value of each variable.
    whole : array of bool
        Whether it counts whole things.
    rows : list of (coefficients, lowest, highest)
    proved : bool
        False as soon as one stage stopped before it was proved to be the best.
    """

    upper: Numbers
    whole: Numbers
    rows: list[tuple[Numbers, float, float]] = field(default_factory=list)
    proved: bool = True

    @classmethod
    def of_binaries(cls, count: int) -> Programme:
        """Return a programme of yes-or-no variables without any row."""
        return cls(np.ones(count), np.ones(count, dtype=bool))

    def copy(self) -> Programme:
        """Return a programme that can be bound further without touching this one."""
        return Programme(self.upper.copy(), self.whole.copy(), list(self.rows), self.proved)

    def add_variables(self, upper: Sequence[float], *, whole: bool = True) -> range:
        """Add variables and return their places."""
        before = len(self.upper)
        self.upper = np.concatenate([self.upper, np.asarray(upper, dtype=float)])
        self.whole = np.concatenate([self.whole, np.full(len(upper), whole)])
        self.rows = [(np.pad(row, (0, len(upper))), low, high) for row, low, high in self.rows]
        return range(before, len(self.upper))

    def row(
        self, places: Sequence[int] | Numbers, weights: float | Sequence[float] | Numbers = 1.0
    ) -> Numbers:
        """Return coefficients with `weights` at `places`."""
        made = np.zeros(len(self.upper))
        made[np.asarray(places, dtype=int)] = weights
        return made

    def bind(self, row: Numbers, low: float, high: float) -> None:
        """Add a row: its sum lies from `low` to `high`."""
        self.rows.append((row, low, high))

    def solve(self, aim: Numbers | None = None, *, least: float = -np.inf) -> Numbers | None:
        """Return the variables with the smallest sum of `aim`, None when nothing is possible.

        `least` is a value that no answer can fall below, as far as it is known.
        """
        from scipy.optimize import Bounds, LinearConstraint, milp  # not light, and only this needs it

        aim = np.zeros(len(self.upper)) if aim is None else aim
        rows = list(self.rows)
        if np.isfinite(least):
            rows.append((aim, least, np.inf))
        constraints = LinearConstraint(
            np.array([row for row, _, _ in rows]),
            np.array([low for _, low, _ in rows]),
            np.array([high for _, _, high in rows]),
        )
        found = milp(
            aim,
            integrality=self.whole.astype(int),
            bounds=Bounds(np.zeros(len(self.upper)), self.upper),
            constraints=constraints,
            options={"mip_rel_gap": 0.0, "node_limit": MOST_NODES},
        )
        if found.x is None:
            if found.status == 1:
                self.proved = False
            return None
        if found.status != 0:
            self.proved = False
        return np.where(self.whole, np.round(found.x), found.x)

    def best(self, aims: Sequence[Numbers], start: Numbers | None = None) -> Numbers | None:
        """Return the variables that are best by the first aim, among those by the second, and so on.

        Every aim binds this programme: what is asked of it afterwards keeps to the values reached.
        """
        found = self.solve() if start is None else start
        for aim in aims:
            if found is None:
                return None
            if not np.any(aim):
                continue
            better = self.solve(aim)
            if better is not None and better @ aim <= found @ aim:
                found = better
            value = float(found @ aim)
            self.bind(aim, -np.inf, value + EQUAL_WITHIN)
        return found

    def least_worst(self, costs: Numbers, groups: Sequence[Sequence[int]]) -> float | None:
        """Return the smallest t for which something is possible with no variable of a cost above t.

        Those above it are forbidden from then on; None when nothing is possible at any cost.

        Parameters
        ----------
        costs : array
            Cost of each variable, 0 for those without one.
        groups : sequence of places
            Of each group one variable is chosen, so t is at least its smallest cost.
        """
        possible = [
            min((costs[place] for place in group if self.upper[place]), default=0.0) for group in groups
        ]
        steps = np.unique(costs[costs >= max(possible, default=0.0)])
        low, high = 0, len(steps) - 1
        if high < 0:
            return 0.0 if self.solve() is not None else None
        if self._up_to(costs, steps[0]).solve() is not None:
            high = 0
        elif self._up_to(costs, steps[high]).solve() is None:
            return None
        while low < high:
            middle = (low + high) // 2
            if self._up_to(costs, steps[middle]).solve() is not None:
                high = middle
            else:
                low = middle + 1
        self.upper = np.where(costs > steps[low], 0.0, self.upper)
        return float(steps[low])

    def _up_to(self, costs: Numbers, worst: float) -> Programme:
        bound = self.copy()
        bound.upper = np.where(costs > worst, 0.0, bound.upper)
        return bound
