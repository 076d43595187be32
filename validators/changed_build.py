"""One build that is changed, entry by entry, according to what the core says of it."""

from __future__ import annotations

import random
from collections.abc import Mapping

from validators.invented_engine import Value
from validators.random_builds import mood_of
from validators.recompute import Recomputer

BESIDE = (0.0, 1e-10, -1e-10, 3e-10, -3e-10, 7e-10, -7e-10, 3e-9, -3e-9, 1e-6, -1e-6)
"""How far from a bound, in the shown unit: comparisons round at nine decimals."""


class ChangedBuild:
    """One build that is changed, and what the core says of it."""

    def __init__(
        self, recomputer: Recomputer, entries: dict[str, Value], results: Mapping[str, Value], seed: int
    ) -> None:
        self.plan, self.layout = recomputer.plan, recomputer.layout
        self.catalogue = recomputer.catalogue
        self.entries, self.results, self.seed = entries, results, seed
        self.mood = mood_of(seed)
        build = self.plan.build
        self.chance = random.Random(f"edge {type(self).__name__} {build.layout.name} {build.family} {seed}")

    def number(self, name: str) -> float | None:
        """Return a number of this build, typed or computed; None where there is none."""
        if name in self.entries:
            value = self.entries[name]
        else:
            value = self.results[name] if name in self.results else self.plan.by_name[name].value
        return float(value) if isinstance(value, int | float) else None

    def numbers(self, *names: str) -> list[float] | None:
        """Return several numbers; None where one is missing."""
        found = [self.number(name) for name in names]
        return None if None in found else [value for value in found if value is not None]

    def put(self, name: str, value: Value) -> None:
        """Type a value into an entry."""
        if name not in self.entries:
            raise KeyError(name)
        self.entries[name] = value

    def beside(self) -> float:
        """Return how far from the bound the figure is to be."""
        return self.chance.choice(BESIDE)

    def one(self, axis: str) -> str:
        """Return one element of an axis."""
        return self.chance.choice(self.layout.labels(axis, self.catalogue))

    def bring(self) -> None:
        """Change the entries of the build."""
        raise NotImplementedError
