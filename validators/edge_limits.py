"""Limits put round what results: wide, at the edge, crossed, alike, or none."""

from __future__ import annotations

from sheetgen.catalogue import LIMIT_SIDES
from sheetgen.naming import element_name
from validators.changed_build import ChangedBuild
from validators.judged import guard_of

FINE, COARSE = 200.0, 1e5
"""Up to here a figure keeps the decimals that an edge needs, and those that tell two limits apart."""

WIDE = 1.5
OFFERED = {"head_clearance_static": "offer_static", "head_clearance_speed": "offer_speed"}
"""What else is held against the limits of a quantity."""


class Limits(ChangedBuild):
    """Limits put round what results: wide, at the edge, crossed, alike, or none."""

    def bring(self) -> None:
        """Change the limits of the build."""
        for key in self.catalogue.limited:
            if self.mood.tidy or self.chance.random() < 0.6:
                self.limit(key)
        if not self.mood.tidy and self.chance.random() < 0.4:
            self.offer_edge()

    def limit(self, key: str) -> None:
        """Put the limits of one quantity."""
        entry = self.catalogue.entries[key]
        sides = LIMIT_SIDES[entry.limits]
        kinds = ["wide", "edge", "edge", "edge", "narrow", "crossed", "alike", "none"]
        kind = "wide" if self.mood.tidy else self.chance.choice(kinds)
        if kind == "none":
            for side in sides:
                if self.chance.random() < 0.7:
                    self.put(f"{key}_{side}", None)
                elif self.chance.random() < 0.3:
                    self.put(f"{key}_{side}", -1.0)
            return
        judged = (self.judged(cell.name, cell.index, guard_of(entry)) for cell in self.plan.by_key[key])
        pairs = [pair for pair in judged if pair]
        if not pairs:
            return
        low = min(value - guard for value, guard in pairs)
        high = max(value + guard for value, guard in pairs)
        reach = max(high - low, abs(high) * 1e-3, 1e-3)
        limits = {"lower": low - WIDE * reach, "upper": high + WIDE * reach}
        value, guard = self.chance.choice(pairs)
        if kind == "edge" and abs(value) + guard < FINE:
            side = self.chance.choice(sides)
            limits[side] = value + self.chance.choice([-1, 1]) * guard + self.beside()
        elif kind == "narrow":
            limits = {"lower": value - guard / 2, "upper": value + guard / 2}
        elif kind == "crossed":
            limits = {"lower": high + reach, "upper": low - reach}
        elif kind == "alike" and abs(value) < COARSE:
            limits = {"lower": value, "upper": value + self.beside()}
        for side in sides:
            self.put(f"{key}_{side}", limits[side])

    def offer_edge(self) -> None:
        """Let one offered gasket clear by exactly the guard, and nothing else stand in its way."""
        limited = self.chance.choice(list(OFFERED))
        for key, offered in OFFERED.items():
            offers = [self.number(cell.name) for cell in self.plan.by_key[offered]]
            found = [value for value in offers if value is not None]
            guard = self.number(guard_of(self.catalogue.entries[key]))
            if found and guard is not None:
                at_edge = self.chance.choice(found) - guard + self.beside()
                self.put(f"{key}_lower", at_edge if key == limited else min(found) - 1)

    def judged(self, name: str, index: tuple[str, ...], guard: str) -> tuple[float, float] | None:
        """Return a figure and its guard, in the shown unit."""
        if guard == "exact_guard":
            found = self.numbers(name)
            return (found[0], 0.0) if found else None
        if guard in self.catalogue.entries and self.catalogue.entries[guard].over:
            guard = element_name(guard, index)
        found = self.numbers(name, guard)
        return (found[0], found[1]) if found else None
