"""Gauges whose errors are known, for simulated measurement of parts whose true size is known.

A reading carries the errors that the workbook states for its gauge; the core turns readings into sizes
and gives each gauge its uncertainty.
"""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from validators.reference import uncertainty
from validators.reference.constants import CONSTANTS
from validators.reference.fits import (
    fit_calibration_uncertainty,
    fit_temperature_uncertainty,
    fit_uncertainty,
)
from validators.reference.measuring import part_factor, reference_factor, size_at_reference
from validators.reference.words import DialSense, EntryForm, GaugeUse, YesNo

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
