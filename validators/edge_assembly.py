"""Threads, weighings, throws and shims put where a decision about them lies at its edge."""

from __future__ import annotations

import math
from collections.abc import Callable

from validators.edge_entries import Steps

LARGEST_SIZE = 5000.0
"""Up to here, in the shown unit, a figure keeps the decimals that an edge needs."""


class Assembly(Steps):
    """Entries of bolts, masses and valves at the edge of a decision."""

    def steps(self) -> list[Callable[[], None]]:
        """Return what can be brought to an edge."""
        return [
            self.thread_edge, self.weighing_edge, self.balanced_throws, self.throws_and_places,
            self.couple_edge, self.hardly_opened, self.weak_bolts, self.stiff_bolts, self.odd_joint,
            *([self.shim_tie, self.shim_kept] if "shim_needed" in self.catalogue.entries else []),
        ]

    def thread_edge(self) -> None:
        """Let the pitch take half of a thread, or a little more or less."""
        form = self.entries["thread_form"]
        factor = self.number("unified_thread_factor" if form == "unified" else "metric_thread_factor")
        joint = self.one("joint")
        for size, pitch in (("bolt_thread_size", "bolt_thread_pitch"),
                            (f"joint_size_{joint}", f"joint_pitch_{joint}")):
            found = self.number(pitch)
            if found and factor and 0 < found < LARGEST_SIZE:
                self.put(size, 2 * factor * found + self.beside())

    def weighing_edge(self) -> None:
        """Let the two ends of a rod weigh as much more than the whole as the scale can tell, or hardly."""
        cylinder = self.one("cylinder")
        found = self.numbers(f"rod_small_mass_{cylinder}", f"rod_big_mass_{cylinder}", "scale_resolution")
        if found and max(map(abs, found)) < LARGEST_SIZE:
            off = self.chance.choice([-2, 2]) * found[2] + self.beside()
            self.put(f"rod_total_mass_{cylinder}", found[0] + found[1] - off)

    def balanced_throws(self) -> None:
        """Put the throws at even angles, one of them off by as much as still counts as balanced."""
        pins = self.layout.crankpins
        rods = [self.layout.crankpin_of.count(pin) for pin in range(1, pins + 1)]
        allowed = self.number("layout_balanced")
        if pins < 2 or len(set(rods)) > 1 or not allowed:
            return
        for pin in range(pins):
            self.put(f"throw_angle_{pin + 1}", 360.0 * pin / pins)
        if self.chance.random() < 0.7:
            share = allowed * self.chance.choice([1.0, 1.0, 0.5, 2.0]) + self.beside()
            self.put("throw_angle_1", math.degrees(2 * math.asin(share / (2 * rods[0]))))

    def throws_and_places(self) -> None:
        """Balance the throws and put all cylinders at one place: neither force nor couple is left."""
        if self.layout.crankpins > 1:
            for pin in range(self.layout.crankpins):
                self.put(f"throw_angle_{pin + 1}", 360.0 * pin / self.layout.crankpins)
        place = self.chance.choice([self.number("cylinder_position_1"), 100.0])
        for cylinder in self.layout.labels("cylinder", self.catalogue):
            self.put(f"cylinder_position_{cylinder}", place)
        if place is not None and self.chance.random() < 0.3:
            self.put(f"cylinder_position_{self.one('cylinder')}", place + 0.5)

    def couple_edge(self) -> None:
        """Balance force and couple, and shift one cylinder until as much couple is left as still counts."""
        pins, of = self.layout.crankpins, self.layout.crankpin_of
        allowed = self.number("layout_balanced")
        if pins < 2 or allowed is None or any(of.count(pin) != 2 for pin in range(1, pins + 1)):
            return
        for pin in range(pins):
            self.put(f"throw_angle_{pin + 1}", 360.0 * pin / pins)
            first, second = (place for place, own in enumerate(of, start=1) if own == pin + 1)
            self.put(f"cylinder_position_{first}", 0.0)
            self.put(f"cylinder_position_{second}", 200.0)
        left = allowed * self.chance.choice([1, 1, 0.5, 2]) + self.beside()
        self.put("cylinder_position_1", 200.0 * left)

    def hardly_opened(self) -> None:
        """Turn the engine so slowly that hardly anything opens the cap, or its weight keeps it closed."""
        self.put("engine_speed", self.chance.choice([0.0, -1.0, 1.0, 1.0, 1.0]))
        cap = self.number("rod_cap_mass")
        if cap is None:
            return
        if self.chance.random() < 0.4:
            self.put("rod_cap_mass", 20 * cap)
        elif self.chance.random() < 0.5:
            self.put("engine_speed", 3000.0)
            self.put("rod_rotating_mass", cap)
            self.no_pistons(self.chance.choice([0.0, 0.0, None]))

    def no_pistons(self, chosen: float | None) -> None:
        """Leave all pistons unweighed, and say that they weigh nothing, or say nothing."""
        for cylinder in self.layout.labels("cylinder", self.catalogue):
            self.put(f"piston_mass_{cylinder}", None)
        for candidate in self.layout.labels("candidate", self.catalogue):
            self.put(f"candidate_reciprocating_mass_{candidate}", chosen)

    def weak_bolts(self) -> None:
        """Make the rod bolts of something that bears or yields to hardly anything, or less than that."""
        name = self.chance.choice(["bolt_proof_own", "bolt_yield_own", "bolt_modulus", "bolt_class"])
        if name != "bolt_class":
            self.put(name, self.chance.choice([0.0, -100.0, 1e-11, -1e-11]))
            return
        for blank in ("bolt_class", "bolt_proof_own", "bolt_yield_own"):
            self.put(blank, None)

    def stiff_bolts(self) -> None:
        """Let nothing of the rod bolts stretch, or less than nothing."""
        if self.chance.random() < 0.5:
            return
        for cell in (*self.plan.by_key["bolt_part_length"], *self.plan.by_key["bolt_part_size"]):
            self.put(cell.name, None)
        self.put("bolt_thread_length", self.chance.choice([0.0, -10.0]))

    def odd_joint(self) -> None:
        """Give one group of fasteners neither pitch nor friction, a sleeve without a wall, or no size."""
        joint = self.one("joint")
        size = self.number(f"joint_size_{joint}")
        kind = self.chance.choice(["slippery", "sleeve", "soft", "sizeless"])
        if kind == "slippery":
            for what in ("pitch", "thread_friction", "head_friction"):
                self.put(f"joint_{what}_{joint}", 0.0)
        elif kind == "sleeve" and size is not None:
            for what in ("hole", "sleeve"):
                self.put(f"joint_{what}_size_{joint}", 2 * size)
        elif kind == "soft":
            self.put(f"joint_sleeve_modulus_{joint}", self.chance.choice([0.5, 0.0, -50.0]))
        elif kind == "sizeless":
            self.put(f"joint_size_{joint}", None)
            self.put(f"joint_pitch_{joint}", -1.0)

    def shim_tie(self) -> None:
        """Offer two shims that are equally far from the one needed, or hardly."""
        needed = self.number(f"shim_needed_{self.one('cylinder')}_{self.one('valve')}")
        offered = [cell.name for cell in self.plan.by_key["shim_thickness"]]
        first, second = self.chance.sample(offered, 2)
        found = self.number(first)
        if needed is not None and found is not None and max(abs(needed), abs(found)) < LARGEST_SIZE:
            self.put(second, 2 * needed - found + self.beside())

    def shim_kept(self) -> None:
        """Offer the very shim that is in place, or none at all."""
        cylinder, valve = self.one("cylinder"), self.one("valve")
        if self.chance.random() < 0.3:
            for cell in self.plan.by_key["shim_thickness"]:
                self.put(cell.name, None)
            return
        present = self.number(f"shim_present_{cylinder}_{valve}")
        wanted = self.number(f"lash_wanted_{valve}")
        if present is not None and wanted is not None:
            self.put(f"lash_reading_{cylinder}_{valve}", wanted)
            self.put(self.chance.choice(self.plan.by_key["shim_thickness"]).name, present + self.beside())
