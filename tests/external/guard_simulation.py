"""How often a guarded verdict is wrong, by simulated measurement of parts whose true size is known.

``python -m tests.external.guard_simulation --count 1000000`` prints the shares.

Every reading carries the errors that the workbook states for its gauge: whole steps of the display,
scatter of repeats, the error of the certificate, thermometers, expansion figures.  The readings go
through the reference core, as arrays, to value, guard and verdict.  The truth is put where a wrong
verdict is likeliest: on the limit itself.  There, with a guard of k standard uncertainties, the decision
rule of ISO 14253-1 (from memory) leaves at most the tail of the normal distribution beyond k on either
side, 2.275 % for k = 2.

A figure that is the extreme of several readings has several chances of one of them being far out: the
largest of n that are equal in truth is beyond the guard up to n times as often.  `chances` says how
many, for the side on which that happens; on the other side the extreme errs towards safety.

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

from validators.reference import (
    bore_form,
    bores,
    compression,
    crank,
    deck,
    head_clearance,
    main_clearances,
    main_journals,
    pistons,
    rings,
    uncertainty,
    volumes,
)
from validators.reference.constants import CONSTANTS
from validators.reference.fits import (
    fit_calibration_uncertainty,
    fit_guard,
    fit_temperature_uncertainty,
    fit_uncertainty,
    main_clearance_guard,
    main_clearance_uncertainty,
    wall_uncertainty,
)
from validators.reference.measuring import part_factor, reference_factor, size_at_reference
from validators.reference.verdict import verdict
from validators.reference.words import DialSense, EntryForm, GaugeUse, Verdict, YesNo

MM, MICRO = 1e-3, 1e-6
TWENTY = 293.15
WARMTH = [CONSTANTS[key] for key in ("reference_temperature", "temperature_lowest", "temperature_highest")]
BELIEVED = [CONSTANTS[key] for key in ("size_lowest", "size_highest", "dial_travel")]
FACTOR = 2.0
EXPANSION_UNCERTAINTY = 0.5e-6
BOUND = 1.0
"""The thermometer is good to this many kelvin on either side."""
PART, GAUGE = 297.15, 295.15
"""Part and gauge as they are; what the thermometers show is off by their error."""


def tail(factor: float) -> float:
    """Share of a normal distribution beyond so many standard deviations on one side."""
    return float(scipy.stats.norm.sf(factor))


@dataclass(frozen=True)
class Instrument:
    """What the workbook states for one gauge, and the body that it measures."""

    nominal: float
    expansion: float
    use: GaugeUse = GaugeUse.SET_ON_A_MASTER
    resolution: float = MICRO
    certificate: float = 1.0 * MICRO
    repeats: float = 1.0 * MICRO
    count: int = 3
    own_expansion: float = 11.5e-6

    @property
    def reading_uncertainty(self) -> Any:
        """Standard uncertainty of one reading, by the core."""
        return uncertainty.reading_uncertainty(self.use, self.resolution, self.repeats, self.count)

    @property
    def calibration_uncertainty(self) -> Any:
        """Standard uncertainty of the certificate, by the core."""
        return uncertainty.calibration_uncertainty(self.certificate, 2.0)

    @property
    def sensitivity(self) -> Any:
        """Size per kelvin that both are warmer together, by the core."""
        return uncertainty.temperature_sensitivity(self.nominal, self.own_expansion, self.expansion)

    @property
    def temperature_uncertainty(self) -> Any:
        """Standard uncertainty from the thermometers, by the core."""
        return uncertainty.temperature_uncertainty(
            self.nominal,
            self.own_expansion,
            self.expansion,
            self.sensitivity,
            uncertainty.thermometer_uncertainty(BOUND),
            YesNo.NO,
        )

    @property
    def expansion_term(self) -> Any:
        """Standard uncertainty from the expansion figures, by the core."""
        return uncertainty.expansion_term(self.nominal, EXPANSION_UNCERTAINTY, PART, GAUGE, TWENTY)

    @property
    def size_guard(self) -> Any:
        """Guard of one size, by the core."""
        return uncertainty.size_guard(
            FACTOR,
            self.reading_uncertainty,
            self.calibration_uncertainty,
            self.temperature_uncertainty,
            self.expansion_term,
        )

    @property
    def plain_guard(self) -> Any:
        """Guard of one reading as it stands, by the core."""
        return uncertainty.plain_guard(FACTOR, self.reading_uncertainty, self.calibration_uncertainty)

    @property
    def form_guard(self) -> Any:
        """Guard of the difference of two readings, by the core."""
        return uncertainty.form_guard(FACTOR, self.reading_uncertainty)


class Session:
    """One gauge in use for `count` jobs: its certificate, its zero and its thermometers err once a job."""

    def __init__(self, instrument: Instrument, random: np.random.Generator, count: int) -> None:
        self.instrument, self.random = instrument, random
        shape = (count, 1)
        self.certificate_error = random.normal(0, instrument.certificate / 2, shape)
        self.part_error, self.gauge_error = random.uniform(-BOUND, BOUND, (2, *shape))
        self.expansion_errors = random.normal(0, EXPANSION_UNCERTAINTY, (2, *shape))

    def raw(self, true: Any) -> Any:
        """Indicate lengths as they lie there, in whole steps, with every error but warmth."""
        instrument = self.instrument
        noise = instrument.repeats / math.sqrt(instrument.count)
        shown = true + self.certificate_error + self.random.normal(0, noise, true.shape)
        if instrument.use == GaugeUse.SET_ON_A_MASTER:
            # A zero of its own for each reading, as the budget counts it.
            shown = shown + instrument.resolution * self.random.uniform(-0.5, 0.5, true.shape)
        # Where the truth lies between two steps is as likely in one place as in another.
        place = self.random.uniform(0, 1, true.shape)
        return (np.round(shown / instrument.resolution + place) - place) * instrument.resolution

    def sizes(self, true: Any) -> Any:
        """Measure sizes, and turn them into sizes at 20 °C by the core."""
        instrument = self.instrument
        part_expansion = instrument.expansion + self.expansion_errors[0]
        gauge_expansion = instrument.own_expansion + self.expansion_errors[1]
        # What lies there: the part and the scale, grown by their real expansion at their real warmth.
        there = true * (1 + part_expansion * (PART - TWENTY)) / (1 + gauge_expansion * (GAUGE - TWENTY))
        return size_at_reference(
            self.raw(there),
            EntryForm.SIZE,
            np.nan,
            0.0,
            DialSense.PLUS_IS_BIGGER,
            part_factor(instrument.expansion, PART + self.part_error, *WARMTH),
            reference_factor(instrument.own_expansion, GAUGE + self.gauge_error, *WARMTH),
            *BELIEVED,
        )


@dataclass(frozen=True)
class Scene:
    """A judged quantity: how it is measured, and how many chances an extreme has on either side."""

    name: str
    measure: Callable[[np.random.Generator, int], tuple[Any, Any, float, float]]
    """Gives measured values, their guard, the true value, the unit that the sheet shows."""
    chances_high: int = 1
    """Readings of which the largest decides: the value may be too high by any of them."""
    chances_low: int = 1


BORE = Instrument(86.010 * MM, 11e-6)
PISTON = Instrument(85.955 * MM, 19.4e-6, use=GaugeUse.READ_DIRECTLY, certificate=1.5 * MICRO)
HOUSING = Instrument(64.010 * MM, 11e-6)
JOURNAL = Instrument(60.000 * MM, 11.5e-6, use=GaugeUse.READ_DIRECTLY)
WALL = Instrument(1.980 * MM, 11.5e-6, use=GaugeUse.READ_DIRECTLY, resolution=0.5 * MICRO)
DEPTH = Instrument(1.0 * MM, 11e-6, resolution=0.01 * MM, certificate=4 * MICRO, repeats=5 * MICRO)
GAP = Instrument(0.4 * MM, 11e-6, use=GaugeUse.READ_DIRECTLY, resolution=0.01 * MM, certificate=4 * MICRO)
WIDTH = Instrument(0.15 * MM, 11e-6, resolution=0.002 * MM)


def fit_of(hole: Instrument, shaft: Instrument) -> Any:
    return fit_uncertainty(
        hole.reading_uncertainty,
        shaft.reading_uncertainty,
        fit_calibration_uncertainty(
            hole.calibration_uncertainty, shaft.calibration_uncertainty, YesNo.NO
        ),
        fit_temperature_uncertainty(
            hole.sensitivity,
            shaft.sensitivity,
            hole.temperature_uncertainty,
            shaft.temperature_uncertainty,
            uncertainty.thermometer_uncertainty(BOUND),
            YesNo.NO,
        ),
        hole.expansion_term,
        shaft.expansion_term,
    )


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


SCENES = (
    Scene("bore, mean size", _bore_mean),
    Scene("bore, worst out-of-round of 3 depths", _out_of_round, chances_high=3),
    Scene("piston clearance, smallest of 3 depths", _piston_clearance, chances_low=3),
    Scene("main clearance, largest of 4 journal sizes", _main_clearance, chances_low=4),
    Scene("end float", _end_float),
    Scene("ring gap", _ring_gap),
    Scene("piston to head, static", _head_clearance),
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
    value, guard, true, unit = scene.measure(np.random.default_rng(seed), count)
    hair = 1e-7 * unit
    far = 1e3 * unit
    cases = (
        ("over", Verdict.OVER, -far, true, scene.chances_high),
        ("under", Verdict.UNDER, true, far, scene.chances_low),
        ("within, though over", Verdict.WITHIN, -far, true - hair, scene.chances_low),
        ("within, though under", Verdict.WITHIN, true + hair, far, scene.chances_high),
    )
    for wrong, word, lower, upper, chances in cases:
        said = verdict(value, lower, upper, guard, unit)
        promised = 1 - (1 - tail(FACTOR)) ** chances
        yield Share(scene.name, wrong, float(np.mean(said == word)), promised)


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
