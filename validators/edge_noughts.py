"""Entries of nought, so that sizes and volumes that something is divided by are exactly nothing."""

from __future__ import annotations

from collections.abc import Callable

from validators.edge_entries import DIALS, Steps

SHARE = 0.08
"""Of the builds that are not tidy: what was brought to another edge before is lost where this is done."""


class Noughts(Steps):
    """Entries that make a size or a volume exactly nothing, in both statements alike."""

    def steps(self) -> list[Callable[[], None]]:
        """Return what can be made nothing."""
        return [
            self.no_volume, lambda: self.nothing("bore"), lambda: self.nothing("bore", "piston"),
            lambda: self.nothing("main_journal"), lambda: self.nothing("crankpin"), self.no_candidate,
        ]

    def bring(self) -> None:
        """Make one thing nothing, in a few of the builds."""
        if not self.mood.tidy and self.chance.random() < SHARE:
            self.chance.choice(self.steps())()

    def nothing(self, *features: str) -> None:
        """Read the dial of a kind of part at nought, from a setting size of nought."""
        for feature in features:
            self.put(f"entry_form_{feature}", "deviation")
            self.put(f"dial_sense_{feature}", "plus is bigger")
            self.put(f"setting_size_{feature}", 0.0)
            self.put(f"setting_error_{feature}", 0.0)
            if feature == "bore":
                for cell in self.plan.by_key["bore_setting"]:
                    self.put(cell.name, None)
            for cell in self.plan.by_key[DIALS[feature]]:
                self.put(cell.name, 0.0)

    def no_volume(self) -> None:
        """Let crowns stand flush under a flat head without a gasket: nothing is left over them."""
        self.put("gasket_bore", 0.0)
        self.put("crevice_counted", "no")
        for key in ("chamber_volume", "crown_volume", "deck_reading"):
            for cell in self.plan.by_key[key]:
                self.put(cell.name, 0.0)

    def no_candidate(self) -> None:
        """Let the combinations have no bore and nothing over their crowns."""
        self.put("nominal_size_bore", 0.0)
        self.put("gasket_bore", 0.0)
        for key in ("candidate_chamber_volume", "candidate_crown_volume"):
            for cell in self.plan.by_key[key]:
                self.put(cell.name, 0.0)


__all__ = ["SHARE", "Noughts"]
