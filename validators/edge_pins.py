"""Pressed pins put where a decision about pressure and hold lies at its edge."""

from __future__ import annotations

from collections.abc import Callable

from validators.edge_entries import Steps

FIT = 1e-4
"""Size of the pins here, in the shown unit: so small that the ninth decimal is no rounding of a size."""

SOUND = {
    "pin_interference": FIT, "small_eye_size": 2 * FIT, "pin_inside_size": FIT / 2,
    "rod_modulus_own": 206.0, "pin_modulus": 206.0, "press_poisson": 0.3, "press_gap": FIT / 1e4,
}
"""A press fit that can be."""
FINE = (0.0, 3e-10, -3e-10, 6e-10, -6e-10, 1e-7)
"""How far two sizes are apart where they are compared at nine decimals, and further."""
AT_EDGE = {
    "pin_interference": (*FINE, 5e-8),
    "small_eye_size": tuple(FIT + apart for apart in (*FINE, -FIT / 2)),
    "pin_inside_size": (0.0, -FIT / 2, -2 * FIT, *(FIT - apart for apart in FINE)),
    "rod_modulus_own": (0.0, -50.0, 1e-11, -1e-11),
    "pin_modulus": (0.0, -50.0, 1e-11, -1e-11),
    "press_poisson": (1.0, -1.0, 1.5, -1.5),
}
WIDE_APART = 1.3
"""An interference so large that a difference of sizes over it is another ninth decimal."""


class Pins(Steps):
    """Entries of pressed pins at the edge of a decision."""

    def steps(self) -> list[Callable[[], None]]:
        """Return what can be brought to an edge."""
        return [self.press_edge, self.chance.choice([self.no_hole, self.unknown_modulus])]

    def press_edge(self) -> None:
        """Press in pins of hardly any size, one thing about them at its edge."""
        entries = dict(SOUND)
        changed = self.chance.choice(list(AT_EDGE))
        entries[changed] = self.chance.choice(AT_EDGE[changed])
        if self.chance.random() < 0.2:
            entries["pin_interference"] = WIDE_APART
        self.put("pin_fit", "pressed")
        for feature in ("pin", "bush"):
            self.put(f"entry_form_{feature}", "deviation")
            self.put(f"dial_sense_{feature}", "plus is bigger")
            for what, value in (("setting_size", 0.0), ("setting_error", 0.0), ("part_temperature", 20.0),
                                ("gauge_temperature", 20.0)):
                self.put(f"{what}_{feature}", value)
        interference = entries.pop("pin_interference")
        for cylinder in self.layout.labels("cylinder", self.catalogue):
            self.put(f"bush_reading_{cylinder}", FIT)
            self.put(f"pin_reading_{cylinder}", FIT + interference)
        for name, value in entries.items():
            self.put(name, value)

    def no_hole(self) -> None:
        """Read a dial that says that the small end has no hole, or less than none."""
        self.put("pin_fit", "pressed")
        self.put("entry_form_bush", "deviation")
        self.put("setting_size_bush", 0.0)
        self.put("setting_error_bush", 0.0)
        for cylinder in self.layout.labels("cylinder", self.catalogue):
            self.put(f"bush_reading_{cylinder}", self.chance.choice([0.0, 0.0, -FIT, FIT]))

    def unknown_modulus(self) -> None:
        """Say how the rod expands, but not what it is made of: pins are measured, their pressure is not."""
        self.put("rod_modulus_own", None)
        self.put("body_material_rod", None)
        self.put("body_expansion_own_rod", 11.0)
