"""Uncertainty and verdicts: hand-worked cases, and two libraries that know nothing of ours.

The libraries are GTC (Measurement Standards Laboratory of New Zealand) and `uncertainties`; both
propagate through the whole measuring equation, not through the sums written here.
"""

from decimal import ROUND_HALF_UP, Decimal

import GTC
import numpy as np
import pytest
import scipy.stats
from uncertainties import ufloat

from validators.reference.fits import (
    fit_calibration_uncertainty,
    fit_guard,
    fit_temperature_uncertainty,
    fit_uncertainty,
    main_clearance_uncertainty,
    wall_uncertainty,
)
from validators.reference.uncertainty import (
    calibration_uncertainty,
    expansion_term,
    form_guard,
    plain_guard,
    reading_uncertainty,
    size_guard,
    temperature_sensitivity,
    temperature_uncertainty,
    thermometer_uncertainty,
    volume_guard,
)
from validators.reference.verdict import limit_state, verdict
from validators.reference.words import GaugeUse, LimitState, Verdict, YesNo

NAN = float("nan")
MICRO = 1e-6
DIRECT, MASTER = GaugeUse.READ_DIRECTLY, GaugeUse.SET_ON_A_MASTER
ZERO = 293.15


class Side:
    """One body and its gauge, with every term of its budget."""

    def __init__(self, size, alphas, gauge, temperatures=(ZERO, ZERO), alpha_uncertainty=0.0):
        self.size, (self.part_alpha, self.gauge_alpha) = size, alphas
        self.use, self.resolution, self.certificate, self.factor, self.spread, self.count = gauge
        self.part, self.gauge = temperatures
        self.alpha_uncertainty = alpha_uncertainty
        self.reading = reading_uncertainty(self.use, self.resolution, self.spread, self.count)
        self.calibration = calibration_uncertainty(self.certificate, self.factor)
        self.sensitivity = temperature_sensitivity(size, self.gauge_alpha, self.part_alpha)
        self.expansion = expansion_term(size, alpha_uncertainty, self.part, self.gauge, ZERO)

    def temperature(self, bound, one):
        return temperature_uncertainty(
            self.size,
            self.gauge_alpha,
            self.part_alpha,
            self.sensitivity,
            thermometer_uncertainty(bound),
            one,
        )


def fit(hole, shaft, bound, one, shared):
    return fit_uncertainty(
        hole.reading,
        shaft.reading,
        fit_calibration_uncertainty(hole.calibration, shaft.calibration, shared),
        fit_temperature_uncertainty(
            hole.sensitivity,
            shaft.sensitivity,
            hole.temperature(bound, one),
            shaft.temperature(bound, one),
            thermometer_uncertainty(bound),
            one,
        ),
        hole.expansion,
        shaft.expansion,
    )


BORE = Side(0.086012, (21.5e-6, 11.5e-6), (MASTER, MICRO, 1.0 * MICRO, 2, 1.2 * MICRO, 3))
PISTON = Side(0.085960, (19.4e-6, 11.5e-6), (DIRECT, MICRO, 1.5 * MICRO, 2, 1.0 * MICRO, 3))


# ---------------------------------------------------------------- hand-worked cases
@pytest.mark.parametrize(("one", "figure"), [(YesNo.NO, "2.143504161"), (YesNo.YES, "1.373593102")])
def test_bore_minus_piston(one, figure, printed):
    """Hand-worked case: four thermometers, then one shared."""
    found = fit(BORE, PISTON, 1.0, one, YesNo.NO)
    assert found / MICRO == printed(figure)


def test_expanded_uncertainty_of_bore_minus_piston(printed):
    """Hand-worked case, factor 2."""
    shared = fit(BORE, PISTON, 1.0, YesNo.YES, YesNo.NO)
    assert fit_guard(2.0, shared) / MICRO == printed("2.747186205")


def test_shared_calibration_leaves_reading_and_repeats():
    """Hand-worked case: micrometer and dial twice each, calibration shared: 4/12 + 2/3 = 1."""
    gauge = (MASTER, MICRO, 2.0 * MICRO, 2, MICRO, 3)
    side = Side(0.086, (0.0, 0.0), gauge)
    assert fit(side, side, 1.0, YesNo.YES, YesNo.YES) / MICRO == pytest.approx(1.0)


def test_two_independent_micrometers_add_their_calibration(printed):
    """Hand-worked case: 1 + 2 = 3."""
    gauge = (MASTER, MICRO, 2.0 * MICRO, 2, MICRO, 3)
    side = Side(0.086, (0.0, 0.0), gauge)
    assert fit(side, side, 1.0, YesNo.YES, YesNo.NO) / MICRO == printed("1.732050808")


def test_uncertainty_of_a_worked_build(printed):
    """Hand-worked build, flat four: guard of the piston clearance, in millimetres."""
    hole = Side(0.093, (11e-6, 11.5e-6), (MASTER, MICRO, 0.8 * MICRO, 2, 0.8 * MICRO, 3))
    shaft = Side(0.093, (19.4e-6, 11.5e-6), (DIRECT, MICRO, 1.5 * MICRO, 2, 0.8 * MICRO, 3))
    found = fit(hole, shaft, 1.0, YesNo.YES, YesNo.NO)
    assert found / MICRO == printed("1.26593489")
    assert fit_guard(2.0, found) * 1e3 == printed("0.002531869781")


@pytest.mark.parametrize(
    ("value", "lower", "upper", "guard", "word"),
    [
        (0.050, 0.040, 0.060, 0.004, Verdict.WITHIN),
        (0.043, 0.040, 0.060, 0.004, Verdict.TOO_CLOSE),
        (0.035, 0.040, 0.060, 0.004, Verdict.UNDER),
        (0.064, 0.040, 0.060, 0.004, Verdict.TOO_CLOSE),
        (0.0641, 0.040, 0.060, 0.004, Verdict.OVER),
        (0.044, 0.040, 0.060, 0.004, Verdict.WITHIN),
        (0.900, 0.950, NAN, 0.020, Verdict.UNDER),
        (0.051, 0.045, 0.055, 0.006, Verdict.TOO_CLOSE),
        (64.003, 64.000, 64.013, 0.003, Verdict.WITHIN),
        (64.006, 64.000, 64.013, 0.003, Verdict.WITHIN),
        (2.7909, 2.7908, 2.7915, 0.0001, Verdict.WITHIN),
        (2.7916, 2.7908, 2.7915, 0.0001, Verdict.TOO_CLOSE),
        (NAN, 0.040, 0.060, 0.004, Verdict.NOT_MEASURED),
        (0.050, 0.040, 0.060, NAN, Verdict.NOT_MEASURED),
        (NAN, NAN, NAN, 0.004, Verdict.NOT_MEASURED),
        (0.050, NAN, NAN, 0.004, Verdict.NO_LIMIT_SET),
        (0.050, 0.060, 0.040, 0.004, Verdict.CHECK_LIMITS),
        (0.050, 0.050, 0.050, 0.0, Verdict.WITHIN),
        (0.050, NAN, 0.060, 0.010, Verdict.WITHIN),
    ],
)
def test_verdicts(value, lower, upper, guard, word):
    """Hand-worked cases of the decision rule, in millimetres and in metres alike."""
    assert verdict(value, lower, upper, guard, 1.0) == word
    in_metres = (number * 1e-3 for number in (value, lower, upper, guard))
    assert verdict(*in_metres, 1e-3) == word


@pytest.mark.parametrize(
    ("lower", "upper", "word"),
    [
        (NAN, NAN, LimitState.NO_LIMIT_SET),
        (0.06, 0.04, LimitState.CHECK_LIMITS),
        (0.04, 0.06, LimitState.SET),
        (0.05, 0.05, LimitState.SET),
        (0.04, NAN, LimitState.SET),
        (NAN, 0.06, LimitState.SET),
    ],
)
def test_limit_states(lower, upper, word):
    """Every combination of limits that are there."""
    assert limit_state(lower, upper, 1.0) == word


# ---------------------------------------------------------------- second routes
@pytest.mark.outside(
    source="Python standard library",
    place="decimal.Decimal; the rule of ISO 14253-1 is from memory",
    covers="3000 draws around both limits",
)
def test_verdicts_in_decimal_arithmetic():
    """Second route: the rule in decimal numbers, rounded half up at nine places."""
    random = np.random.default_rng(3)
    tick = Decimal("0.001")
    nine = Decimal("1e-9")
    seen = set()
    for _ in range(3000):
        value, lower, width, guard = (int(n) for n in random.integers(0, [60, 40, 25, 12]))
        exact = [Decimal(n) * tick for n in (value, lower, lower + width, guard)]
        value, lower, upper, guard = exact

        def rounded(number):
            return number.quantize(nine, rounding=ROUND_HALF_UP)

        if rounded(value - lower + guard) < 0:
            word = Verdict.UNDER
        elif rounded(value - upper - guard) > 0:
            word = Verdict.OVER
        elif rounded(value - lower - guard) >= 0 and rounded(value - upper + guard) <= 0:
            word = Verdict.WITHIN
        else:
            word = Verdict.TOO_CLOSE
        seen.add(word)
        assert verdict(*(float(number) for number in exact), 1.0) == word
        assert verdict(*(float(number) * 0.0254 for number in exact), 0.0254) == word
    assert len(seen) == 4


@pytest.mark.outside(source="scipy", place="stats.norm", covers="factor 2")
def test_within_means_conformance_is_likely():
    """Second route: normal distribution from scipy; factor 2 leaves at most 2.3 % each side."""
    for value in np.linspace(0.03, 0.07, 81):
        share = scipy.stats.norm.cdf(0.060, value, 0.002) - scipy.stats.norm.cdf(
            0.040, value, 0.002
        )
        word = verdict(value, 0.040, 0.060, 0.004, 1.0)
        assert (word == Verdict.WITHIN) == (share >= 1 - 0.0227502)


def gtc_size(side, calibration, thermometers):
    """Size at 20 degrees with GTC: the whole equation, its terms as uncertain numbers."""
    factor_of_resolution = 2 if side.use == MASTER else 1
    resolutions = [
        GTC.ureal(0, GTC.type_b.uniform(side.resolution / 2)) for _ in range(factor_of_resolution)
    ]
    repeats = GTC.ureal(0, side.spread / side.count**0.5)
    part_alpha = GTC.ureal(side.part_alpha, side.alpha_uncertainty)
    gauge_alpha = GTC.ureal(side.gauge_alpha, side.alpha_uncertainty)
    indicated = side.size + sum(resolutions) + repeats + calibration
    part_error, gauge_error = thermometers
    part_growth = 1 + part_alpha * (side.part - ZERO + part_error)
    gauge_growth = 1 + gauge_alpha * (side.gauge - ZERO + gauge_error)
    return indicated * gauge_growth / part_growth


def gtc_fit(hole, shaft, bound, one, shared):
    u_bound = GTC.type_b.uniform(bound)
    room = GTC.ureal(0, u_bound)
    errors = [room if one == YesNo.YES else GTC.ureal(0, u_bound) for _ in range(4)]
    common = GTC.ureal(0, hole.certificate / hole.factor)
    if shared == YesNo.YES:
        calibrations = (common, common)
    else:
        calibrations = (common, GTC.ureal(0, shaft.certificate / shaft.factor))
    difference = gtc_size(hole, calibrations[0], errors[:2]) - gtc_size(
        shaft, calibrations[1], errors[2:]
    )
    return difference.u


@pytest.mark.parametrize("one", [YesNo.NO, YesNo.YES])
@pytest.mark.parametrize("shared", [YesNo.NO, YesNo.YES])
@pytest.mark.outside(
    source="GTC",
    place="the whole equation of a size, JCGM 100",
    covers="4 x 25 random gauges, materials, temperatures",
)
def test_a_fit_against_gtc(one, shared):
    """Second route: GTC over random gauges, materials and temperatures.

    Ours is first order with the nominal size, so the two differ by about alpha times the rise.
    """
    random = np.random.default_rng(int(10 * one + shared))
    for _ in range(25):
        sides = []
        for use in random.choice([int(DIRECT), int(MASTER)], 2):
            gauge = (
                GaugeUse(int(use)),
                random.uniform(0.1, 3) * MICRO,
                random.uniform(0.5, 3) * MICRO,
                random.uniform(1.7, 3),
                random.uniform(0.2, 3) * MICRO,
                int(random.integers(1, 6)),
            )
            sides.append(
                Side(
                    random.uniform(0.02, 0.12),
                    random.uniform(9e-6, 24e-6, 2),
                    gauge,
                    random.uniform(284, 310, 2),
                    0.5e-6,
                )
            )
        ours = fit(*sides, 1.0, one, shared)
        # A shared calibration cancels but for the growth of the two bodies, far below 1e-3.
        assert ours == pytest.approx(gtc_fit(*sides, 1.0, one, shared), rel=2e-3)


@pytest.mark.parametrize("one", [YesNo.NO, YesNo.YES])
@pytest.mark.outside(
    source="GTC",
    place="the whole equation of a size, JCGM 100",
    covers="20 degrees, where the first order is exact",
)
def test_a_fit_at_twenty_degrees_against_gtc(one):
    """Second route: GTC where the first order is exact."""
    assert fit(BORE, PISTON, 1.0, one, YesNo.NO) == pytest.approx(
        gtc_fit(BORE, PISTON, 1.0, one, YesNo.NO), rel=1e-7
    )


@pytest.mark.parametrize("one", [YesNo.NO, YesNo.YES])
@pytest.mark.outside(source="GTC", place="the whole equation of a size, JCGM 100", covers="a warm bore")
def test_one_size_against_gtc(one):
    """Second route: GTC, a warm bore."""
    side = Side(
        0.086,
        (21.5e-6, 11.5e-6),
        (MASTER, MICRO, MICRO, 2, 1.2 * MICRO, 3),
        (299.15, 297.15),
        0.5e-6,
    )
    room = GTC.ureal(0, GTC.type_b.uniform(1.0))
    other = room if one == YesNo.YES else GTC.ureal(0, GTC.type_b.uniform(1.0))
    outside = gtc_size(side, GTC.ureal(0, 0.5 * MICRO), (room, other)).u
    ours = size_guard(
        2.0, side.reading, side.calibration, side.temperature(1.0, one), side.expansion
    )
    assert ours == pytest.approx(2 * outside, rel=2e-4)


@pytest.mark.outside(source="uncertainties", place="two walls, other errors in common", covers="one bearing")
def test_two_walls_against_the_uncertainties_library():
    """Second route: two walls read apart, every other error in common."""
    wall = Side(
        0.002, (11.7e-6, 11.5e-6), (DIRECT, MICRO, 2 * MICRO, 2, MICRO, 1), (298.15,) * 2, 0.5e-6
    )
    temperature = wall.temperature(1.0, YesNo.NO)
    readings = [ufloat(0, wall.reading), ufloat(0, wall.reading)]
    common = ufloat(0, wall.calibration) + ufloat(0, temperature) + ufloat(0, wall.expansion)
    outside = sum(reading + common for reading in readings)
    ours = wall_uncertainty(wall.reading, wall.calibration, temperature, wall.expansion)
    assert ours == pytest.approx(outside.std_dev, rel=1e-12)
    clearance = ufloat(0, fit(BORE, PISTON, 1.0, YesNo.NO, YesNo.NO)) - outside
    assert main_clearance_uncertainty(
        fit(BORE, PISTON, 1.0, YesNo.NO, YesNo.NO), ours
    ) == pytest.approx(clearance.std_dev, rel=1e-12)


@pytest.mark.outside(
    source="uncertainties",
    place="one reading, a difference, a volume",
    covers="one gauge each",
)
def test_guards_of_readings_against_the_uncertainties_library():
    """Second route: one reading, the difference of two readings of one gauge, a volume."""
    calibration, first, second = ufloat(0, 0.75), ufloat(0, 0.6), ufloat(0, 0.6)
    assert plain_guard(2.0, 0.6, 0.75) == pytest.approx(2 * (first + calibration).std_dev)
    difference = (first + calibration) - (second + calibration)
    assert form_guard(2.0, 0.6) == pytest.approx(2 * difference.std_dev)
    before, after = (ufloat(0, 0.1 / (2 * 3**0.5)) for _ in range(2))
    volume = after - before + ufloat(0, 0.2 / 2)
    assert volume_guard(2.0, 0.1, 0.2, 2.0) == pytest.approx(2 * volume.std_dev)


@pytest.mark.outside(source="numpy", place="random: a dial in whole steps", covers="400 000 readings")
def test_reading_uncertainty_by_simulation():
    """Second route: a dial that shows whole steps, zeroed and read, and repeats that scatter."""
    random = np.random.default_rng(12)
    step, spread, count = 1.0, 1.3, 4
    errors = random.uniform(-step / 2, step / 2, (2, 400_000))
    means = spread / count**0.5 * random.standard_normal(400_000)
    simulated = np.std(errors[0] - errors[1] + means)
    assert reading_uncertainty(MASTER, step, spread, count) == pytest.approx(simulated, rel=5e-3)


@pytest.mark.parametrize(
    "found",
    [
        reading_uncertainty(NAN, MICRO, MICRO, 1),
        reading_uncertainty(DIRECT, MICRO, MICRO, 0),
        reading_uncertainty(DIRECT, MICRO, MICRO, 0.5),
        calibration_uncertainty(MICRO, 0.0),
        calibration_uncertainty(MICRO, -1.0),
        volume_guard(2.0, 0.1, 0.1, 0.0),
        BORE.temperature(1.0, NAN),
        fit_calibration_uncertainty(MICRO, MICRO, NAN),
        fit_calibration_uncertainty(MICRO, NAN, YesNo.NO),
        fit_temperature_uncertainty(1.0, 1.0, 1.0, 1.0, 1.0, NAN),
    ],
)
def test_a_budget_with_a_hole_has_no_uncertainty(found):
    """A missing word, a count below one, a factor that is not positive."""
    assert np.isnan(found)


def test_a_shared_gauge_needs_no_certificate():
    """The calibration error is common to hole and shaft and cancels."""
    assert fit_calibration_uncertainty(NAN, NAN, YesNo.YES) == 0
