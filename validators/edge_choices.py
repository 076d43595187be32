"""Limits, targets and factors put where a choice among what is offered lies at its edge."""

from __future__ import annotations

from collections.abc import Callable

from validators.edge_entries import Steps
from validators.edge_limits import FINE

NEAR = 1.5e-3
"""How far limits are apart, in the shown unit, that leave hardly any room between them."""


class Choices(Steps):
    """Entries at the edge of a choice: of shells, of gaskets, of pistons for bores."""

    def steps(self) -> list[Callable[[], None]]:
        """Return what can be brought to an edge."""
        rare = self.chance.choice([
            self.no_skirt, self.bore_below_nought, self.guard_factor_edge, self.missing_volume,
            self.no_gasket_bore, self.near_limits, self.no_bore, self.ratio_over,
            lambda: self.uneven_grades("main"), lambda: self.uneven_grades("rod"),
        ])
        return [lambda: self.shell_limit("main"), lambda: self.shell_limit("rod"), self.ratio_limit,
                self.pairing_tie, rare]

    def shell_limit(self, bearing: str) -> None:
        """Let a limit of the clearance be that of one of the shell pairs, or hardly another."""
        there = self.there(f"{bearing}_option_clearance")
        if there and max(map(abs, there)) < FINE:
            side = self.chance.choice(["lower", "upper"])
            other = {"lower": max(there) + 1, "upper": min(there) - 1}
            limits = {"upper": other["lower"], "lower": other["upper"],
                      side: self.chance.choice(there) + self.beside()}
            for name, value in limits.items():
                self.put(f"{bearing}_clearance_{name}", value)

    def ratio_limit(self) -> None:
        """Let every gasket that is offered clear, and one reach a limit of the ratio exactly, or hardly."""
        self.all_clear()
        side, key = self.chance.choice([("lower", "offer_ratio_least"), ("upper", "offer_ratio_most")])
        found = self.there(key)
        if found and max(map(abs, found)) < FINE:
            self.put("compression_ratio_lower", None)
            self.put("compression_ratio_upper", None)
            apart = self.chance.choice([0.0, 0.0, 0.0, 1.0 if side == "lower" else -1.0])
            self.put(f"compression_ratio_{side}", self.chance.choice(found) + apart + self.beside())

    def ratio_over(self) -> None:
        """Let one offered gasket give a ratio above the upper limit by as little as counts, or less."""
        self.all_clear()
        found = self.there("offer_ratio_most")
        if found and max(map(abs, found)) < FINE:
            self.put("compression_ratio_lower", None)
            self.put("compression_ratio_upper", max(found) - self.chance.choice([3e-10, 3e-9]))

    def uneven_grades(self, bearing: str) -> None:
        """Offer shells with uneven steps, thickest first now and then, so that two pairs tie."""
        grades = self.layout.labels("grade", self.catalogue)
        clearance = self.there(f"{bearing}_option_clearance")
        first = self.number(f"{bearing}_grade_wall_{grades[0]}")
        if len(grades) < 3 or not clearance or first is None or abs(first) > FINE:
            return
        step = 0.01 * first / 2
        steps, between = self.chance.choice([((0, 3, 4), 3.5), ((4, 3, 0), 3.5), ((0, 2, 5), 4.5)])
        for number, grade in enumerate(grades):
            wall = first + steps[number] * step if number < len(steps) else None
            self.put(f"{bearing}_grade_wall_{grade}", wall)
            self.put(f"{bearing}_grade_name_{grade}", grade)
        self.put("thicker_half", "either")
        self.put("shell_steps_apart", float(len(steps)))
        self.put(f"{bearing}_clearance_lower", None)
        self.put(f"{bearing}_clearance_upper", None)
        self.put(f"{bearing}_clearance_target", clearance[0] - between * step)

    def no_bore(self) -> None:
        """Leave a bore unread where the crevice above the top ring is not counted."""
        cylinder = self.one("cylinder")
        self.put("crevice_counted", "no")
        for cell in self.plan.by_key["bore_reading"]:
            if cell.index[0] == cylinder:
                self.put(cell.name, None)

    def pairing_tie(self) -> None:
        """Want the clearance from which the widest and the closest pair are equally far, or hardly."""
        deviations, target = self.there("pairing_deviation_now"), self.number("piston_clearance_target")
        if deviations and target is not None:
            middle = (max(deviations) + min(deviations)) / 2
            self.put("piston_clearance_target", target + middle + self.beside() / 2)

    def guard_factor_edge(self) -> None:
        """Widen no uncertainty, or hardly any."""
        self.put("guard_factor", self.chance.choice([None, self.beside(), self.beside(), self.beside()]))

    def no_skirt(self) -> None:
        """Say nothing about the skirt of pistons that are wider than their bores."""
        self.put("skirt_length", None)
        sign = self.dial_sign("piston") if self.entries["entry_form_piston"] == "deviation" else 1
        for cell in self.plan.by_key["piston_reading"]:
            read = self.number(cell.name)
            if read is not None:
                self.put(cell.name, read + sign * 0.5)

    def bore_below_nought(self) -> None:
        """Read bores below nought, far wider than piston and skirt."""
        for feature in ("bore", "piston"):
            self.put(f"entry_form_{feature}", "deviation")
            self.put(f"dial_sense_{feature}", "plus is bigger")
            self.put(f"setting_size_{feature}", 0.0)
        for key, value in (("bore_setting", None), ("bore_reading", -0.05), ("piston_reading", 0.01)):
            for cell in self.plan.by_key[key]:
                self.put(cell.name, value)
        self.put("skirt_length", 0.01)

    def missing_volume(self) -> None:
        """Offer gaskets that clear over a volume that is not known."""
        self.all_clear()
        cylinder = self.one("cylinder")
        volumes = [f"chamber_volume_{cylinder}", f"crown_volume_{cylinder}", "gasket_bore"]
        self.put(self.chance.choice(volumes), None)

    def no_gasket_bore(self) -> None:
        """Give the gasket no hole, or less than none."""
        self.put("gasket_bore", self.chance.choice([0.0, -10.0, -10.0]))

    def near_limits(self) -> None:
        """Leave hardly more than the least room between the limits of a clearance."""
        for key in ("piston_clearance", "main_clearance", "rod_clearance"):
            found = self.there(key)
            if found and max(map(abs, found)) < FINE:
                self.put(f"{key}_lower", found[0] - NEAR / 2)
                self.put(f"{key}_upper", found[0] + NEAR / 2)

    def all_clear(self) -> None:
        """Let every gasket that is offered clear."""
        for key, offered in (("static", "offer_static"), ("speed", "offer_speed")):
            found = self.there(offered)
            self.put(f"head_clearance_{key}_lower", min(found) - 1 if found else None)

    def there(self, key: str) -> list[float]:
        """Return the numbers that there are of a result."""
        found = (self.number(cell.name) for cell in self.plan.by_key[key])
        return [value for value in found if value is not None]
