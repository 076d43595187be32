"""How often a guarded verdict is wrong, by simulated measurement of parts whose true size is known.

``python -m tests.external.guard_simulation --count 1000000`` prints the shares.

Every reading carries the errors that the workbook states for its gauge: whole steps of the display,
scatter of repeats, the error of the certificate, thermometers, expansion figures.  The readings go
through the reference core, as arrays, to value, guard and verdict.  The truth is put where a wrong
verdict is likeliest: on the limit itself.  There, with a guard of k standard uncertainties, the decision
rule of ISO 14253-1 (from memory) leaves at most the tail of the normal distribution beyond k on either
side, 2.275 % for k = 2.

A figure that is the extreme of several readings has several chances of one of them being far out: with
the guard of one reading the largest of n that are equal in truth would be beyond it up to n times as
often.  The workbook widens the guard for that, and the promise is the same for every figure.  Each scene
of an extreme has its truth where the chances are most: every reading that may decide is equal in truth.

The promise holds over parts that lie anywhere between two steps of the display.  Where the step is the
larger part of the budget, as for a ring gap read in hundredths, parts at one place between two steps are
misjudged far more often (at the worst place 15 %) and parts at most other places never.
"""

import argparse
import math
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import scipy.stats

from tests.external.simulated_gauges import (
    BORE,
    DEPTH,
    FACTOR,
    GAP,
    HOUSING,
    JOURNAL,
    MICRO,
    MM,
    PISTON,
    WALL,
    WIDTH,
    Session,
    fit_of,
)
from validators.reference import (
    bore_form,
    bores,
    compression,
    crank,
    crankpins,
    deck,
    extremes,
    head_clearance,
    main_clearances,
    main_housings,
    main_journals,
    mass_matching,
    masses,
    pistons,
    ring_grooves,
    rings,
    rod_bolts,
    separation,
    uncertainty,
    valve_timing,
    volumes,
)
from validators.reference.constants import CONSTANTS
from validators.reference.fits import (
    fit_guard,
    main_clearance_guard,
    main_clearance_uncertainty,
    wall_uncertainty,
)
from validators.reference.verdict import verdict
from validators.reference.words import DeckBasis, Verdict


def tail(factor: float) -> float:
    """Share of a normal distribution beyond so many standard deviations on one side."""
    return float(scipy.stats.norm.sf(factor))


@dataclass(frozen=True)
class Scene:
    """A judged quantity and how it is measured; an extreme has a guard for so many readings."""

    name: str
    measure: Callable[[np.random.Generator, int], tuple[Any, Any, float, float]]
    """Gives measured values, their guard, the true value, the unit that the sheet shows."""
    quantity: str = ""
    cylinders: int = 8

    def guarded(self, seed: int, count: int) -> tuple[Any, Any, float, float]:
        """Measured values, the guard that the verdict uses, the true value, the unit."""
        value, guard, true, unit = self.measure(np.random.default_rng(seed), count)
        chances = extremes.chances_of(self.quantity, self.cylinders) if self.quantity else 1
        return value, extremes.extreme_guard(guard, FACTOR, chances), true, unit


def _bore_mean(random: np.random.Generator, count: int) -> tuple[Any, Any, float, float]:
    size = Session(BORE, random, count).sizes(np.full((count, 6), BORE.nominal))
    mean = bores.bore_mean(size.reshape(count, 3, 2))
    return mean, BORE.size_guard, BORE.nominal, MM


def _out_of_round(random: np.random.Generator, count: int) -> tuple[Any, Any, float, float]:
    true = np.full((count, 3, 2), BORE.nominal)
    true[..., 0] += 8 * MICRO
    size = Session(BORE, random, count).sizes(true.reshape(count, 6)).reshape(count, 3, 2)
    at = bore_form.bore_out_of_round_at(size[..., 0], size[..., 1])
    return bore_form.bore_out_of_round(at), BORE.form_guard, 8 * MICRO, MM


def _piston_clearance(random: np.random.Generator, count: int) -> tuple[Any, Any, float, float]:
    bore = Session(BORE, random, count).sizes(np.full((count, 3), BORE.nominal))
    piston = Session(PISTON, random, count).sizes(np.full((count, 1), PISTON.nominal))
    value = pistons.piston_clearance(bores.bore_thrust_least(bore), piston[..., 0])
    return value, fit_guard(FACTOR, fit_of(BORE, PISTON)), BORE.nominal - PISTON.nominal, MM


def _main_clearance(random: np.random.Generator, count: int) -> tuple[Any, Any, float, float]:
    housing = Session(HOUSING, random, count).sizes(np.full((count, 1), HOUSING.nominal))
    walls = Session(WALL, random, count).sizes(np.full((count, 2), WALL.nominal))
    journal = Session(JOURNAL, random, count).sizes(np.full((count, 4), JOURNAL.nominal))
    value = main_clearances.main_clearance_computed(
        housing[..., 0],
        walls[..., 0],
        walls[..., 1],
        main_journals.main_journal_greatest(journal.reshape(count, 2, 2)),
    )
    wall = wall_uncertainty(
        WALL.reading_uncertainty,
        WALL.calibration_uncertainty,
        WALL.temperature_uncertainty,
        WALL.expansion_term,
    )
    guard = main_clearance_guard(FACTOR, main_clearance_uncertainty(fit_of(HOUSING, JOURNAL), wall))
    return value, guard, HOUSING.nominal - 2 * WALL.nominal - JOURNAL.nominal, MM


def _end_float(random: np.random.Generator, count: int) -> tuple[Any, Any, float, float]:
    dial = Session(WIDTH, random, count).raw(np.tile([0.0, 0.15 * MM], (count, 1)))
    nothing = np.full(count, np.nan)
    value = crank.end_float(dial[:, 0], dial[:, 1], nothing, nothing)
    return value, WIDTH.form_guard, 0.15 * MM, MM


def _ring_gap(random: np.random.Generator, count: int) -> tuple[Any, Any, float, float]:
    gap = Session(GAP, random, count).raw(np.full((count, 1), GAP.nominal))[..., 0]
    return rings.ring_gap_used(gap, CONSTANTS["gap_highest"]), GAP.plain_guard, GAP.nominal, MM


def _deck(random: np.random.Generator, count: int) -> Any:
    heights = Session(DEPTH, random, count).raw(np.full((count, 2), -0.2 * MM))
    nothing = np.full(count, np.nan)
    return deck.deck_clearance_mean(heights[:, 0], heights[:, 1], nothing, nothing)


def _head_clearance(random: np.random.Generator, count: int) -> tuple[Any, Any, float, float]:
    value = head_clearance.head_clearance_static(1.0 * MM, _deck(random, count), 0.0)
    return value, DEPTH.plain_guard, 1.2 * MM, MM


def _ratio(random: np.random.Generator, count: int) -> tuple[Any, Any, float, float]:
    bore, cubic = 86.010 * MM, 1e-6
    resolution, certificate = 0.1 * cubic, 0.1 * cubic

    def poured(true: float) -> Any:
        ends = resolution * random.uniform(-0.5, 0.5, (2, count))
        return true + ends[1] - ends[0] + random.normal(0, certificate / 2, count)

    swept = volumes.swept_volume(bore, 86 * MM)
    gasket = volumes.gasket_volume(87 * MM, 1 * MM)

    def ratio_with(chamber: Any, crown: Any, clearance: Any) -> tuple[Any, Any]:
        other = volumes.other_volume(gasket, volumes.deck_volume(bore, clearance), crown, 0.0)
        held = volumes.clearance_volume(chamber, other)
        return compression.compression_ratio(swept, held), held

    value, held = ratio_with(poured(42 * cubic), poured(5 * cubic), _deck(random, count))
    poured_guard = uncertainty.volume_guard(FACTOR, resolution, certificate, 2.0)
    guard = compression.ratio_guard(swept, held, poured_guard, bore, DEPTH.plain_guard)
    true, _ = ratio_with(42 * cubic, 5 * cubic, 0.2 * MM)
    return value, guard, float(true), 1.0


def _bore_taper(random: np.random.Generator, count: int) -> tuple[Any, Any, float, float]:
    true = np.full((count, 2, 3), BORE.nominal)
    true[..., :2] += 8 * MICRO
    size = Session(BORE, random, count).sizes(true.reshape(count, 6)).reshape(count, 2, 3)
    return bore_form.bore_taper(bore_form.bore_taper_of(size)), BORE.form_guard, 8 * MICRO, MM


def _journal_round(random: np.random.Generator, count: int) -> tuple[Any, Any, float, float]:
    true = np.full((count, 2, 2), JOURNAL.nominal)
    true[..., 0] += 6 * MICRO
    size = Session(JOURNAL, random, count).sizes(true.reshape(count, 4)).reshape(count, 2, 2)
    return crankpins.crankpin_out_of_round(size), JOURNAL.form_guard, 6 * MICRO, MM


def _housing_least(random: np.random.Generator, count: int) -> tuple[Any, Any, float, float]:
    size = Session(HOUSING, random, count).sizes(np.full((count, 3), HOUSING.nominal))
    return main_housings.main_housing_least(size), HOUSING.size_guard, HOUSING.nominal, MM


def _at_speed(random: np.random.Generator, count: int) -> tuple[Any, Any, float, float]:
    heights = Session(DEPTH, random, count).raw(np.full((count, 4), -0.2 * MM))
    low = deck.deck_clearance_least(DeckBasis.MEASURED, np.nan, np.nan, *heights.T)
    value = head_clearance.head_clearance_speed(1.0 * MM, low, 0.0, 0.1 * MM, 0.02 * MM, 0.0)
    return value, DEPTH.plain_guard, 1.08 * MM, MM


def _chamber_spread(random: np.random.Generator, count: int) -> tuple[Any, Any, float, float]:
    cubic = 1e-6
    resolution, certificate = 0.1 * cubic, 0.02 * cubic
    true = (42 + 0.5 * (np.arange(8) < 4)) * cubic
    ends = resolution * random.uniform(-0.5, 0.5, (2, count, 8))
    poured = true + ends[1] - ends[0] + random.normal(0, certificate / 2, (count, 1))
    guard = volumes.chamber_spread_guard(uncertainty.volume_guard(FACTOR, resolution, certificate, 2.0))
    return volumes.chamber_spread(poured), guard, 0.5 * cubic, cubic


def _mass_spread(random: np.random.Generator, count: int) -> tuple[Any, Any, float, float]:
    gram, guard = 1e-3, 0.2e-3
    true = (580 + 1.5 * (np.arange(8) < 4)) * gram
    weighed = true + random.normal(0, guard / FACTOR / math.sqrt(2), (count, 8))
    return mass_matching.rod_big_spread(weighed), guard, 1.5 * gram, gram


def _reciprocating_spread(random: np.random.Generator, count: int) -> tuple[Any, Any, float, float]:
    gram, guard = 1e-3, 0.2e-3
    parts = np.array([[350.0], [110.0], [30.0], [4.0], [170.0]]) + 0.3 * (np.arange(8) < 4)
    weighed = parts * gram + random.normal(0, guard / FACTOR / math.sqrt(2), (count, 5, 8))
    whole = masses.cylinder_reciprocating_mass(*np.moveaxis(weighed, 1, 0))
    spread = mass_matching.reciprocating_spread(whole)
    return spread, mass_matching.reciprocating_guard(guard), 1.5 * gram, gram


def _back_clearance(random: np.random.Generator, count: int) -> tuple[Any, Any, float, float]:
    bore = Session(BORE, random, count).sizes(np.full((count, 6), BORE.nominal)).reshape(count, 3, 2)
    of_ring = np.tile([77.6 * MM, 3.7 * MM], (count, 1))
    root, wall = Session(WIDTH, random, count).raw(of_ring).T
    value = ring_grooves.ring_back_clearance(bores.bore_least(bore), root, wall)
    guard = ring_grooves.ring_back_guard(BORE.size_guard, WIDTH.plain_guard)
    return value, guard, (BORE.nominal - 77.6 * MM) / 2 - 3.7 * MM, MM


def _separation(random: np.random.Generator, count: int) -> tuple[Any, Any, float, float]:
    compliance, force, stretch = 4e-9, 20e3, 0.14 * MM
    lengths = Session(DEPTH, random, count).raw(np.tile([0.0, 0.0, stretch, stretch], (count, 1)))
    preload = rod_bolts.bolt_preload(lengths[:, 2:] - lengths[:, :2], compliance)
    least = separation.rod_preload_least(preload, np.ones(2), 1)
    value = separation.separation_margin(least, 5e3, force)
    guard = separation.separation_guard(DEPTH.form_guard, compliance, force)
    return value, guard, (2 * stretch / compliance - 5e3) / force, 1.0


def _valve_to_piston(random: np.random.Generator, count: int) -> tuple[Any, Any, float, float]:
    drop = Session(WIDTH, random, count).raw(np.tile([0.0, 1.6 * MM], (count, 5, 1)).reshape(count, 10))
    drop = drop.reshape(count, 5, 2)
    value = valve_timing.intake_to_piston(drop[..., 1] - drop[..., 0])
    return value, WIDTH.form_guard, 1.6 * MM, MM


SCENES = (
    Scene("bore, mean size", _bore_mean),
    Scene("bore, worst out-of-round of 3 depths", _out_of_round, "bore_out_of_round"),
    Scene("bore, worst taper of 2 axes", _bore_taper, "bore_taper"),
    Scene("piston clearance, smallest of 3 depths", _piston_clearance, "piston_clearance"),
    Scene("crankpin, worst out-of-round of 2 ends", _journal_round, "crankpin_out_of_round"),
    Scene("main housing, smallest of 3 angles", _housing_least, "main_housing_least"),
    Scene("main clearance, largest of 4 journal sizes", _main_clearance, "main_clearance"),
    Scene("end float", _end_float),
    Scene("ring gap", _ring_gap),
    Scene("ring back clearance, smallest of 6 sizes", _back_clearance, "ring_back_clearance"),
    Scene("piston to head, static", _head_clearance),
    Scene("piston to head at speed, highest of 4", _at_speed, "head_clearance_speed"),
    Scene("valve to piston, smallest of 5 angles", _valve_to_piston, "intake_to_piston"),
    Scene("rod joint, looser of 2 bolts", _separation, "separation_margin"),
    Scene("chambers, spread over 8", _chamber_spread, "chamber_spread"),
    Scene("big ends, spread over 8", _mass_spread, "rod_big_spread"),
    Scene("reciprocating masses, spread over 8", _reciprocating_spread, "reciprocating_spread"),
    Scene("compression ratio", _ratio),
)


@dataclass(frozen=True)
class Share:
    """How often one verdict was wrong, and how often it may be."""

    scene: str
    wrong: str
    found: float
    promised: float


def shares_of(scene: Scene, count: int, seed: int) -> Iterator[Share]:
    """Simulate one quantity with the truth on its limit, and count what must not be said.

    On its upper limit a part is good, so "over" is wrong; a hair beyond it "within" is wrong.
    """
    value, guard, true, unit = scene.guarded(seed, count)
    hair = 1e-7 * unit
    far = 1e3 * unit
    cases = (
        ("over", Verdict.OVER, -far, true),
        ("under", Verdict.UNDER, true, far),
        ("within, though over", Verdict.WITHIN, -far, true - hair),
        ("within, though under", Verdict.WITHIN, true + hair, far),
    )
    for wrong, word, lower, upper in cases:
        said = verdict(value, lower, upper, guard, unit)
        yield Share(scene.name, wrong, float(np.mean(said == word)), tail(FACTOR))


def main() -> int:
    """Print the shares; 1 if one is beyond what is promised."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=1_000_000)
    parser.add_argument("--seed", type=int, default=0)
    given = parser.parse_args()
    worst = 0
    for scene in SCENES:
        for share in shares_of(scene, given.count, given.seed):
            beyond = share.found > share.promised
            worst |= beyond
            print(
                f"{share.scene:45} wrongly {share.wrong:22} {share.found:8.4%}"
                f"  promised {share.promised:7.4%}{'  BEYOND' if beyond else ''}"
            )
    return int(worst)


if __name__ == "__main__":
    sys.exit(main())
