"""Crank and bearings: hand-worked cases, numpy's polynomial fit, exact decimals."""

import itertools
import math
from decimal import Decimal

import numpy as np
import pint
import pytest

from validators.reference import (
    crankpins,
    main_clearances,
    main_housings,
    main_journals,
    rod_clearances,
    rod_housings,
)
from validators.reference.constants import CONSTANTS
from validators.reference.crank import (
    end_float,
    main_eccentricity,
    main_runout,
    stroke_error,
    stroke_measured,
    stroke_spread,
)
from validators.reference.main_line import (
    main_line_end_deviation,
    main_line_mean,
    main_line_residual,
    main_line_slope,
    main_line_step,
)
from validators.reference.words import ClosureState, DialSense, EntryForm

UNITS = pint.UnitRegistry()
NAN = float("nan")
MM = 1e-3
INCH = UNITS.Quantity(1, "inch").to("m").magnitude
BELIEVED = tuple(CONSTANTS[key] for key in ("size_lowest", "size_highest", "dial_travel"))
JOURNALS = pytest.mark.parametrize(
    ("journals", "kind"),
    [(main_journals, "main_journal"), (crankpins, "crankpin")],
    ids=["main", "crankpin"],
)
HOUSINGS = pytest.mark.parametrize(
    ("housings", "kind"), [(main_housings, "main"), (rod_housings, "rod")], ids=["main", "rod"]
)
CLEARANCES = pytest.mark.parametrize(
    ("clearances", "kind"),
    [(main_clearances, "main"), (rod_clearances, "rod")],
    ids=["main", "rod"],
)


def exactly(figure):
    """Compare with a figure that is exact as printed."""
    return pytest.approx(figure, rel=1e-12, abs=1e-12)


def of(module, kind, name):
    return getattr(module, f"{kind}_{name}")


@JOURNALS
def test_journal_form(journals, kind, printed):
    """Hand-worked case; places run front and rear, in line with the throw and square to it."""
    sizes = np.array([[59.987, 59.984], [59.986, 59.985]])
    assert of(journals, kind, "greatest")(sizes) == exactly(59.987)
    assert of(journals, kind, "mean")(sizes) == printed("59.9855")
    assert of(journals, kind, "out_of_round")(sizes) == exactly(0.003)
    assert of(journals, kind, "taper")(sizes) == exactly(0.001)


@JOURNALS
@pytest.mark.outside(
    source="Python standard library",
    place="whole micrometres, pair by pair",
    covers="50 journals of 60 mm",
)
def test_journal_form_against_integers(journals, kind):
    """Second route: the definitions in whole micrometres, pair by pair."""
    generator = np.random.default_rng(20)
    micrometres = generator.integers(-15, 16, size=(50, 2, 2))
    sizes = (60000 + micrometres) * 1e-6
    out_of_rounds, tapers = (
        of(journals, kind, "out_of_round")(sizes),
        of(journals, kind, "taper")(sizes),
    )
    for index, grid in enumerate(micrometres.tolist()):
        (front_first, front_second), (rear_first, rear_second) = grid
        out_of_round = max(abs(front_first - front_second), abs(rear_first - rear_second))
        taper = max(abs(front_first - rear_first), abs(front_second - rear_second))
        assert out_of_rounds[index] * 1e6 == pytest.approx(out_of_round, abs=1e-6)
        assert tapers[index] * 1e6 == pytest.approx(taper, abs=1e-6)


@JOURNALS
@pytest.mark.parametrize("hole", list(itertools.product((0, 1), (0, 1))))
def test_a_partly_filled_journal_waits(journals, kind, hole):
    """One blank of four, and no figure of the journal is shown."""
    sizes = np.array([[59.987, 59.984], [59.986, 59.985]])
    sizes[hole] = NAN
    for name in ("greatest", "mean", "out_of_round", "taper"):
        assert math.isnan(of(journals, kind, name)(sizes))


def undersize_class(journals, kind, nominal, mean, steps, unit):
    """Undersize, class and residual in the unit given, computed in metres."""
    undersize = of(journals, kind, "undersize")(nominal * unit, mean * unit)
    offered, shown = np.array(steps) * unit, np.array([unit])
    gap = of(journals, kind, "step_gap")(undersize, offered)
    found = of(journals, kind, "class")(gap, offered, shown)
    # The distances that are compared are those distances, at nine decimals of the shown unit.
    rounded = of(journals, kind, "step_gap_rounded")(gap, shown) / unit
    assert rounded == pytest.approx(np.round(gap / unit, 9), abs=1e-12, nan_ok=True)
    residual = of(journals, kind, "residual")(mean * unit, nominal * unit, found)
    return float(undersize) / unit, float(found) / unit, float(residual) / unit


@JOURNALS
@pytest.mark.parametrize(
    ("nominal", "mean", "steps", "unit", "undersize", "nearest", "residual"),
    [
        (60.0, 59.752, (0, 0.25, 0.50, 0.75, 1.00), MM, "0.248", "0.25", "0.002"),
        (60.0, 60.004, (0, 0.25, 0.50, 0.75, 1.00), MM, "-0.004", "0", "0.004"),
        # Equally near to two steps: the smaller undersize, whatever the last binary digit says.
        (60.0, 59.875, (0, 0.25, 0.50, 0.75, 1.00), MM, "0.125", "0", "-0.125"),
        (51.981, 51.606, (0, 0.25, 0.50, 0.75, 1.00), MM, "0.375", "0.25", "-0.125"),
        (2.1, 2.085, (0, 0.010, 0.020, 0.030, 0.040), INCH, "0.015", "0.01", "-0.005"),
        (2.1, 2.0801, (0, 0.010, 0.020, 0.030, 0.040), INCH, "0.0199", "0.02", "0.0001"),
        (60.0, 59.752, (0, NAN, 0.50, NAN, NAN), MM, "0.248", "0", "-0.248"),
    ],
)
def test_undersize_class(journals, kind, nominal, mean, steps, unit, undersize, nearest, residual):
    """Hand-worked cases."""
    found = undersize_class(journals, kind, nominal, mean, steps, unit)
    assert found[0] == exactly(float(undersize))
    assert found[1] == pytest.approx(float(nearest), abs=1e-12)
    assert found[2] == exactly(float(residual))


@JOURNALS
@pytest.mark.outside(source="Python standard library", place="decimal.Decimal", covers="every half thou")
def test_undersize_class_against_decimal_arithmetic(journals, kind):
    """Second route: exact decimals, ties to the smaller step, over every half thou."""
    steps = [Decimal(text) for text in ("0", "0.010", "0.020", "0.030", "0.040")]
    for number in range(-20, 500, 5):
        undersize = Decimal(number) / 10000
        _, nearest = min((abs(undersize - step), step) for step in steps)
        mean = float(Decimal("2.5990") - undersize)
        found = undersize_class(journals, kind, 2.5990, mean, [float(step) for step in steps], INCH)
        expected = float(undersize), float(nearest), float(nearest - undersize)
        assert found == pytest.approx(expected, abs=1e-12)


@JOURNALS
def test_no_class_without_a_step(journals, kind):
    """Nothing offered, or no journal: no class."""
    nothing = np.full(5, NAN)
    assert math.isnan(of(journals, kind, "class")(nothing, nothing, np.array([MM])))


def test_strokes_and_runout():
    """Hand-worked cases; the order of two readings does not matter."""
    assert stroke_measured(261.400, 175.386) == exactly(86.014)
    assert stroke_measured(175.386, 261.400) == exactly(86.014)
    assert stroke_error(stroke_measured(261.400, 175.386), 86.0) == exactly(0.014)
    assert stroke_spread(np.array([86.014, 86.002, 86.009])) == exactly(0.012)
    assert math.isnan(stroke_spread(np.array([86.014, NAN, 86.009])))
    assert main_runout(0.015, -0.021) == exactly(0.036)
    assert main_eccentricity(main_runout(0.015, -0.021)) == exactly(0.018)
    assert main_runout(0.0008, -0.0007) == exactly(0.0015)
    assert main_eccentricity(main_runout(0.0008, -0.0007)) == exactly(0.00075)
    assert math.isnan(main_runout(-0.021, 0.015))


def test_end_float():
    """Hand-worked cases: the dial wins, two widths serve without it."""
    assert end_float(0.42, 0.29, NAN, NAN) == exactly(0.13)
    assert end_float(0.29, 0.42, 30.12, 29.96) == exactly(0.13)
    assert end_float(NAN, NAN, 30.12, 29.96) == exactly(0.16)
    assert end_float(0.42, NAN, 29.96, 30.12) == exactly(0.16)
    assert math.isnan(end_float(0.42, NAN, NAN, 29.96))


POSITIONS = np.array([0.0, 100.0, 200.0, 300.0, 400.0])
HEIGHTS = np.array([0.0, 0.012, 0.018, 0.011, 0.004])


def test_bore_line():
    """Hand-worked case."""
    slope, mean = main_line_slope(POSITIONS, HEIGHTS), main_line_mean(POSITIONS, HEIGHTS)
    assert slope == exactly(7e-06)
    assert mean == exactly(0.009)
    residuals = main_line_residual(POSITIONS, HEIGHTS, slope, mean)
    for found, text in zip(
        residuals, ("-0.0076", "0.0037", "0.0090", "0.0013", "-0.0064"), strict=True
    ):
        assert found == exactly(float(text))
    ends = main_line_end_deviation(POSITIONS, HEIGHTS)
    for found, text in zip(ends, ("0.000", "0.011", "0.016", "0.008", "0.000"), strict=True):
        assert found == exactly(float(text))
    steps = main_line_step(POSITIONS, HEIGHTS)
    assert math.isnan(steps[0])
    for found, text in zip(steps[1:], ("0.012", "0.006", "0.007", "0.007"), strict=True):
        assert found == exactly(float(text))


@pytest.mark.outside(source="numpy", place="polynomial fit and interp", covers="lines of 2 to 7 bores")
def test_bore_line_against_a_polynomial_fit():
    """Second route: numpy's fit of a line, and its interpolation between the ends."""
    generator = np.random.default_rng(45)
    for count in (2, 3, 4, 5, 7):
        x = np.cumsum(generator.uniform(0.06, 0.14, count))
        y = generator.normal(0, 1e-5, count)
        slope, height = np.polynomial.Polynomial.fit(x, y, 1, domain=[-1, 1]).coef[::-1]
        found, mean = main_line_slope(x, y), main_line_mean(x, y)
        assert found == pytest.approx(slope, rel=1e-9, abs=1e-15)
        fitted = np.polyval([slope, height], x)
        assert main_line_residual(x, y, found, mean) == pytest.approx(y - fitted, abs=1e-14)
        between = np.interp(x, [x[0], x[-1]], [y[0], y[-1]])
        assert main_line_end_deviation(x, y) == pytest.approx(y - between, abs=1e-16)
        assert main_line_step(x, y)[1:] == pytest.approx(np.abs(np.diff(y)), abs=0)


def test_a_bore_line_in_a_batch():
    """Builds side by side give what each gives alone."""
    x = np.stack([POSITIONS, 2 * POSITIONS])
    y = np.stack([HEIGHTS, HEIGHTS[::-1]])
    slope, mean = main_line_slope(x, y), main_line_mean(x, y)
    residual = main_line_residual(x, y, slope[:, np.newaxis], mean[:, np.newaxis])
    for row in range(2):
        alone = main_line_slope(x[row], y[row]), main_line_mean(x[row], y[row])
        assert (slope[row], mean[row]) == pytest.approx(alone)
        assert residual[row] == pytest.approx(main_line_residual(x[row], y[row], *alone))


@pytest.mark.parametrize(
    ("x", "y"),
    [
        (np.full(5, 100.0), HEIGHTS),
        (np.array([0.0, 100.0, NAN, 300.0, 400.0]), HEIGHTS),
        (POSITIONS, np.array([0.0, 0.012, NAN, 0.011, 0.004])),
    ],
)
def test_no_bore_line_without_all_places(x, y):
    """A blank, or all in one place: no line, no warning."""
    slope, mean = main_line_slope(x, y), main_line_mean(x, y)
    assert np.isnan(slope)
    assert np.isnan(mean)
    assert np.all(np.isnan(main_line_residual(x, y, slope, mean)))
    assert np.all(np.isnan(main_line_end_deviation(x, y)))
    assert np.all(np.isnan(main_line_step(x, y)))


def test_no_end_line_where_the_ends_share_a_place():
    """First and last bore in one place: the line through them does not exist, the best one does."""
    x = np.array([0.0, 100.0, 0.0])
    y = np.array([0.0, 0.012, 0.004])
    assert np.all(np.isnan(main_line_end_deviation(x, y)))
    assert main_line_slope(x, y) == pytest.approx(np.polyfit(x, y, 1)[0])


@HOUSINGS
def test_housings(housings, kind):
    """Hand-worked cases; one blank of three and no figure is shown."""
    greatest, least = of(housings, kind, "housing_greatest"), of(housings, kind, "housing_least")
    out_of_round = of(housings, kind, "housing_out_of_round")
    sizes = np.array([64.004, 64.006, 64.003])
    assert greatest(sizes) == exactly(64.006)
    assert least(sizes) == exactly(64.003)
    assert out_of_round(greatest(sizes), least(sizes)) == exactly(0.003)
    inches = np.array([2.7911, 2.7909, 2.7916])
    assert out_of_round(greatest(inches), least(inches)) == exactly(0.0007)
    for blank in range(3):
        sizes = np.array([64.004, 64.006, 64.003])
        sizes[blank] = NAN
        assert math.isnan(greatest(sizes))
        assert math.isnan(least(sizes))


WARM = 1 + 11.5e-6 * 4, 1 + 21.5e-6 * 6  # gauge at 24 degrees, part at 26


@pytest.mark.parametrize(
    "size",
    [
        main_journals.main_journal_size,
        crankpins.crankpin_size,
        main_housings.main_housing_size,
        rod_housings.rod_housing_size,
    ],
)
def test_sizes_at_reference(size, printed):
    """Hand-worked cases: whole size, deviation either way, and what is no size."""
    whole = EntryForm.SIZE, NAN, 0.0, NAN, *WARM
    assert size(86.012 * MM, *whole, *BELIEVED) / MM == printed("86.00486192")
    for sense, dial in ((DialSense.PLUS_IS_BIGGER, 0.0105), (DialSense.PLUS_IS_SMALLER, -0.0105)):
        row = EntryForm.DEVIATION, 86.0 * MM, 0.0013 * MM, sense, *WARM
        assert size(dial * MM, *row, *BELIEVED) / MM == printed("86.00466146")
        assert math.isnan(size(1.6 * MM, *row, *BELIEVED))
    assert math.isnan(size(0.012 * MM, *whole, *BELIEVED))
    assert math.isnan(size(86.012 * MM, NAN, *whole[1:], *BELIEVED))


@HOUSINGS
def test_installed_bores_at_reference(housings, kind, printed):
    """Hand-worked case of a whole size; what is no size gives none."""
    size = of(housings, kind, "installed_bore_size")
    assert size(86.012 * MM, *WARM, *BELIEVED[:2]) / MM == printed("86.00486192")
    assert math.isnan(size(0.012 * MM, *WARM, *BELIEVED[:2]))
    assert math.isnan(size(NAN, *WARM, *BELIEVED[:2]))


@CLEARANCES
def test_clearances(clearances, kind, printed):
    """Hand-worked cases."""
    computed = of(clearances, kind, "clearance_computed")
    assert computed(64.004, 1.985, 1.985, 59.985) == exactly(0.049)
    sizes = [UNITS.Quantity(figure, "inch") for figure in (2.7910, 0.09465, 0.09465, 2.5990)]
    found = computed(*sizes)
    assert found.to("inch").magnitude == exactly(0.0027)
    assert found.to("mm").magnitude == exactly(0.06858)
    ratio = of(clearances, kind, "clearance_ratio")
    assert ratio(0.049, 59.985) == printed("0.0008168708844")
    assert ratio(0.0027, 2.5990) == printed("0.0010388611")
    length = of(clearances, kind, "length_ratio")
    assert length(19, 51.981) == printed("0.3655181701")
    assert length(0.80, 2.099) == printed("0.3811338733")
    direct = of(clearances, kind, "clearance_direct")
    assert direct(60.036, 59.985) == exactly(0.051)


@CLEARANCES
def test_two_routes(clearances, kind):
    """Hand-worked case: 0.051 against 0.049, within three times 0.001; the direct route wins."""
    closure = of(clearances, kind, "clearance_closure")
    state = of(clearances, kind, "closure_state")
    taken = of(clearances, kind, "clearance")
    gap = closure(0.051 * MM, 0.049 * MM)
    assert gap / MM == pytest.approx(0.002, abs=1e-12)
    assert state(gap, 0.001 * MM, 3.0, MM) == ClosureState.AGREE
    # Exactly three times the uncertainty agrees, whatever the last binary digit says.
    assert state(closure(0.052 * MM, 0.049 * MM), 0.001 * MM, 3.0, MM) == ClosureState.AGREE
    assert state(-gap, 0.0006 * MM, 3.0, MM) == ClosureState.DISAGREE
    assert state(gap, NAN, 3.0, MM) == ClosureState.ONE_ROUTE_ONLY
    assert state(NAN, 0.001 * MM, 3.0, MM) == ClosureState.ONE_ROUTE_ONLY
    assert taken(0.051, 0.049) == 0.051
    assert taken(NAN, 0.049) == 0.049
    assert math.isnan(taken(NAN, NAN))


@CLEARANCES
@pytest.mark.parametrize(
    ("housing_expansion", "celsius", "figure"),
    [
        (11e-6, (100, 110, 110), "0.037978905"),
        (21.5e-6, (100, 110, 110), "0.091742265"),
        (21.5e-6, (-10, -10, -10), "0.030165625"),
    ],
)
def test_hot_clearance(clearances, kind, housing_expansion, celsius, figure, printed):
    """Hand-worked cases, cold start included; kelvin by pint."""
    hot = of(clearances, kind, "clearance_hot")
    kelvin = [UNITS.Quantity(degrees, "degC").to("K").magnitude for degrees in celsius]
    sizes = 64.004, 1.985, 1.985, 59.985
    expansions = housing_expansion, 11.7e-6, 11.7e-6
    assert hot(*sizes, *expansions, *kelvin, CONSTANTS["reference_temperature"]) == printed(figure)


def test_hot_clearance_against_decimal_arithmetic(printed):
    """Second route: the first case in exact decimals."""
    housing, wall, journal = Decimal("64.004"), Decimal("1.985"), Decimal("59.985")
    iron, steel = Decimal("11e-6"), Decimal("11.7e-6")
    exact = housing * (1 + 80 * iron) - 2 * wall * (1 + 90 * steel) - journal * (1 + 90 * steel)
    assert float(exact) == printed("0.037978905")
