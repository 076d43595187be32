"""What is typed on the sheets that not every job uses, with its natural spread.

Rings and pins are noted in every copy, for assembly waits for them; bolts, masses, top end and signatures
are filled in only some of them.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from tests.corpus.further import (
    ANGLES,
    BOLTS,
    BY_HAND,
    JOINTS,
    MASSES,
    PRESSED,
    TOP_END,
    at_index,
    bolt_length,
    joint_torques,
    pin_length,
)

if TYPE_CHECKING:
    from sheetgen.plan import PlannedCell
    from tests.corpus.readings import Copy

FILLED = 0.75
"""Share of the copies in which a sheet that may stay empty is filled in."""

STRETCH, STRETCH_SPREAD = 0.15, 0.005
GRAMS = {
    "piston_mass": 4.3, "pin_mass": 1.35, "ring_mass": 0.45, "lock_mass": 0.025,
    "rod_small_mass": 1.9, "rod_big_mass": 4.5,
}
"""Grams of a part for each millimetre of bore."""


@dataclass(frozen=True)
class Bench:
    """A copy at the bench: its chance, and how a length is typed as the gauge shows it."""

    copy: Copy

    @property
    def chance(self) -> random.Random:
        """Where every reading comes from."""
        return self.copy.chance

    def length(self, key: str, draw: Callable[[PlannedCell], float], step: float) -> None:
        """Type lengths that are drawn in mm, in whole steps of the shown unit."""
        for cell in self.copy.cells(key):
            self.copy.typed[cell.name] = round(round(draw(cell) / self.copy.engine.length / step) * step, 9)

    def word(self, key: str, *words: Any) -> None:
        """Type one of some words everywhere."""
        word = self.chance.choice(words)
        for cell in self.copy.cells(key):
            self.copy.typed[cell.name] = word


def fill(copy: Copy) -> None:
    """Fill the further sheets of a copy."""
    bench, kit, chance = Bench(copy), copy.engine.kit, copy.chance
    _rings(bench)
    if PRESSED not in kit:
        _floating_pins(bench)
    if BY_HAND in kit:
        _by_hand(bench)
    for name, work in ((BOLTS, _bolts), (MASSES, _masses), (TOP_END, _top_end)):
        if name in kit and chance.random() < FILLED:
            work(bench)
    if JOINTS in kit and chance.random() < FILLED:
        for cell in copy.cells("joint_done_by"):
            copy.typed[cell.name] = "the bench"
        for cell in copy.cells("joint_done_on"):
            copy.typed[cell.name] = copy.typed["measured_date"] + 1
    if chance.random() < FILLED:
        _signed(bench)


def _rings(bench: Bench) -> None:
    copy, chance = bench.copy, bench.chance
    for fitted, filed in zip(copy.cells("ring_mark_fitted"), copy.cells("ring_mark"), strict=True):
        copy.typed[fitted.name] = copy.typed[filed.name]
    bench.word("ring_side_up", "mark up", "mark up", "no mark on the ring")
    bench.word("piston_front", "toward the front", "toward the front", "no mark on the piston")
    bench.word("rings_placed", "as drawn")
    if chance.random() < FILLED:
        step, bore = copy.steps["width"], copy.engine.sizes["bore"]
        widths = {"top": 1.2, "second": 1.5}
        bench.length("ring_width", lambda cell: widths[cell.index[1]] + chance.gauss(0, 0.002), step)
        bench.length(
            "ring_groove_width", lambda cell: widths[cell.index[1]] + 0.055 + chance.gauss(0, 0.002), step)
        bench.length("ring_wall", lambda cell: 3.2 + chance.gauss(0, 0.01), step)
        bench.length("ring_groove_root", lambda cell: bore - 7.3 + chance.gauss(0, 0.01), step)


def _floating_pins(bench: Bench) -> None:
    copy, chance = bench.copy, bench.chance
    bench.word("retainer_count", 2.0)
    bench.word("retainer_seat", "both ends")
    if chance.random() < FILLED:
        length, step = pin_length(copy.engine.sizes), copy.steps["width"]
        bench.length("pin_length", lambda cell: length + chance.gauss(0, 0.01), step)
        bench.length("retainer_span", lambda cell: length + 0.3 + chance.gauss(0, 0.01), step)


def _by_hand(bench: Bench) -> None:
    """Type what this engine's builder left blank: where the gaps stand, and the torques."""
    copy = bench.copy
    given: dict[str, Any] = {"ring_gap_angle": ANGLES}
    if JOINTS in copy.engine.kit:
        given |= joint_torques(copy.engine.build.family)
    for key, value in given.items():
        for number, cell in enumerate(copy.cells(key)):
            one = at_index(value, number, cell.index)
            if one is not None:
                copy.typed[cell.name] = one


def _bolts(bench: Bench) -> None:
    """Read every rod bolt before and tight, and in some copies after release."""
    copy, chance = bench.copy, bench.chance
    step, length = copy.steps["bolt"], copy.engine.length
    loose = bolt_length(copy.engine.sizes)
    bench.length("bolt_free_length", lambda cell: loose + chance.gauss(0, 0.03), step)

    def free(cell: PlannedCell) -> float:
        return float(copy.typed[f"bolt_free_length_{cell.index[0]}"]) * length

    bench.length(
        "bolt_tight_length", lambda cell: free(cell) + STRETCH + chance.gauss(0, STRETCH_SPREAD), step)
    if chance.random() < 0.3:
        bench.length("bolt_released_length", lambda cell: free(cell) + abs(chance.gauss(0.001, 0.001)), step)


def _masses(bench: Bench) -> None:
    """Weigh matched parts; rods whole and by their ends."""
    copy, chance, bore = bench.copy, bench.chance, bench.copy.engine.sizes["bore"]
    scale = 0.1
    whole = chance.random() < 0.7
    for key, grams in GRAMS.items():
        for cell in copy.cells(key):
            copy.typed[cell.name] = round(grams * bore + chance.gauss(0, 0.15 if grams > 1 else 0.05), 1)
    for cell in copy.cells("rod_total_mass"):
        ends = [copy.typed[f"rod_{end}_mass_{cell.index[0]}"] for end in ("small", "big")]
        if whole:
            copy.typed[cell.name] = round(sum(ends) + chance.choice([-scale, 0.0, 0.0, 0.0, scale]), 1)


def _top_end(bench: Bench) -> None:
    copy, chance = bench.copy, bench.chance
    metric = copy.engine.length == 1.0
    lash = {"intake": 0.2, "exhaust": 0.25}
    bench.length("lash_reading", lambda cell: lash[cell.index[1]] + chance.gauss(0, 0.015),
                 0.01 if metric else 0.0005)
    bench.length("shim_present", lambda cell: 2.75 + 0.05 * chance.randint(-2, 2), 0.01 if metric else 0.0005)
    bench.length("spring_height", lambda cell: 40.3 + chance.gauss(0, 0.1), 0.1 if metric else 0.005)
    for number, cell in enumerate(copy.cells("valve_drop_at")):
        copy.typed[cell.name] = -10.0 + 5.0 * number

    def drop(cell: PlannedCell) -> float:
        return 2.6 + 0.2 * abs(int(cell.index[1][1:]) - 3) + chance.gauss(0, 0.03)

    bench.length("valve_drop", drop, 0.05 if metric else 0.002)


def _signed(bench: Bench) -> None:
    """Sign the steps up to one of them, and read the marks of the parts as they went in."""
    copy, chance = bench.copy, bench.chance
    steps = copy.cells("step_by")
    upto = chance.choice([0, len(steps) // 2, len(steps)])
    for cell in steps[:upto]:
        copy.typed[cell.name] = copy.typed["machinist_name"]
        copy.typed[f"step_date_{cell.index[0]}"] = copy.typed["measured_date"] + 2
    if upto:
        for fitted, own in (("fitted_piston", "piston_mark"), ("fitted_rod", "rod_mark")):
            for cell, mark in zip(copy.cells(fitted), copy.cells(own), strict=True):
                copy.typed[cell.name] = copy.typed[mark.name]
