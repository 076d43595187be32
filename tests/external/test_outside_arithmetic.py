"""Sums, differences, means and extremes in exact fractions; marks, counts and rounding by the library."""

import inspect
import math
import re
import tomllib
from collections import Counter
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from pathlib import Path
from statistics import fmean

import numpy as np
import pytest
from scipy.integrate import quad
from uncertainties import ufloat

from validators.reference.compression import ratio_spread_percent
from validators.reference.fits import rod_clearance_uncertainty
from validators.reference.pairing import pairing_bore_size, pairing_piston_size
from validators.reference.record import tally_total, verdict_tally
from validators.reference.rings import ring_gap_taper_effect
from validators.reference.rod_side import rod_widths_on_pin
from validators.reference.verdict import limit_state
from validators.reference.wanted_ratio import ratio_per_gasket, ratio_per_volume
from validators.reference.wiring import find_functions
from validators.reference.words import CandidateState, DeckBasis, LimitState, PinFit, Verdict

FUNCTIONS = {function.__name__: function for function in find_functions()}
LINES = tomllib.loads(Path(__file__).with_name("arithmetic.toml").read_text(encoding="utf-8"))
FIXED = {
    "candidate_state": int(CandidateState.COMPLETE),
    "shown_length": 1e-3,
    "deck_basis": int(DeckBasis.MEASURED),
    "pin_fit": int(PinFit.FLOATING),
}
STANDARD = "Python standard library"


def drawn(random, shape):
    """Ten-millionths of a metre from 2 to 100 mm, exact."""
    if not shape:
        return Fraction(int(random.integers(20_000, 1_000_000)), 10**7)
    return [drawn(random, shape[1:]) for _ in range(shape[0])]


@pytest.mark.parametrize("name", LINES)
@pytest.mark.outside(
    source=STANDARD, place="fractions.Fraction; the line stands in arithmetic.toml", covers="20 random draws"
)
def test_plain_arithmetic_in_exact_fractions(name):
    line, function = LINES[name], FUNCTIONS[name]
    random = np.random.default_rng(len(name))
    listed = set(re.findall(r"list\((\w+)\)", line))
    gridded = set(re.findall(r"grid\((\w+)\)", line))
    for _ in range(20):
        figures = {
            parameter: drawn(random, (4,) if parameter in listed else (2, 2) if parameter in gridded else ())
            for parameter in inspect.signature(function).parameters
            if parameter not in FIXED
        }
        exact = eval(line, {"list": list, "grid": list}, figures)
        given = {parameter: np.array(figure, dtype=float) for parameter, figure in figures.items()}
        found = function(**given, **{key: FIXED[key] for key in FIXED if key in line_parameters(function)})
        if float(exact) == 0 and math.isnan(found):
            continue  # What cannot be cut or filed has no figure.
        assert float(found) == pytest.approx(float(exact), rel=1e-11, abs=1e-16)


def line_parameters(function):
    return inspect.signature(function).parameters


def test_every_line_draws_a_figure_that_is_not_nothing():
    """A line whose every draw came out at nothing would check nothing."""
    for name, line in LINES.items():
        assert name in FUNCTIONS, name
        names = set(re.findall(r"[a-z]\w+_\w+", line))
        assert names <= set(line_parameters(FUNCTIONS[name])), name


@pytest.mark.outside(source=STANDARD, place="statistics.fmean", covers="random ratios 8 to 13")
def test_spread_in_per_cent_of_the_mean():
    ratios = np.random.default_rng(5).uniform(8, 13, 8)
    spread = max(ratios) - min(ratios)
    found = ratio_spread_percent(np.array([spread]), ratios)
    assert found == pytest.approx(spread / fmean(ratios), rel=1e-12)


@pytest.mark.outside(source=STANDARD, place="collections.Counter", covers="random verdicts of 3 items")
def test_tallies_against_a_counter():
    codes = np.random.default_rng(6).integers(0, 7, (3, 9)).astype(float)
    found = verdict_tally(codes[..., np.newaxis, :])
    for row, counted in zip(codes.tolist(), found, strict=True):
        count = Counter(row)
        words = Verdict.WITHIN, Verdict.UNDER, Verdict.OVER, Verdict.TOO_CLOSE, Verdict.NOT_MEASURED
        by_hand = [count[float(word)] for word in words]
        by_hand.append(count[float(Verdict.NO_LIMIT_SET)] + count[float(Verdict.CHECK_LIMITS)])
        assert np.ravel(counted).tolist() == by_hand
    columns = np.reshape(found, (3, 6))
    assert tally_total(columns.T).tolist() == [sum(column) for column in columns.T.tolist()]


@pytest.mark.outside(source=STANDARD, place="dictionary of sums", covers="8 rods on 4 crankpins")
def test_widths_of_the_rods_on_a_crankpin():
    widths = [Fraction(2_200_000 + 7 * number, 10**8) for number in range(8)]
    pins = [1, 2, 3, 4, 1, 3, 2, 4]
    total = dict.fromkeys(range(1, 5), Fraction(0))
    for width, pin in zip(widths, pins, strict=True):
        total[pin] += width
    found = rod_widths_on_pin(np.array(widths, dtype=float), np.array(pins), np.arange(1, 5)[:, np.newaxis])
    assert found == pytest.approx([float(total[pin]) for pin in range(1, 5)], rel=1e-14)


@pytest.mark.parametrize("function", [pairing_bore_size, pairing_piston_size], ids=lambda f: f.__name__)
@pytest.mark.outside(
    source=STANDARD, place="decimal.Decimal.quantize", covers="sizes in millimetres with 11 decimals"
)
def test_a_size_that_is_compared_is_rounded_at_nine_decimals(function):
    for tail in ("4", "6", "49", "51"):
        shown = Decimal(f"86.012345678{tail}")
        exact = shown.quantize(Decimal("1e-9"), ROUND_HALF_UP)
        found = function(float(shown) * 1e-3, 1e-3)
        assert found == pytest.approx(float(exact) * 1e-3, abs=2e-16)


@pytest.mark.outside(source=STANDARD, place="decimal.Decimal.compare", covers="limits a billionth apart")
def test_limits_that_cross_in_decimal_arithmetic():
    for lower, upper in [("0.04", "0.06"), ("0.06", "0.04"), ("0.05", "0.05"), ("0.050000002", "0.05")]:
        crossed = Decimal(lower).compare(Decimal(upper)) > 0
        word = LimitState.CHECK_LIMITS if crossed else LimitState.SET
        assert limit_state(float(lower), float(upper), 1.0) == word


@pytest.mark.outside(source="uncertainties", place="derivatives of ufloat", covers="clearance 40 to 80 cm³")
def test_sensitivities_of_a_ratio_by_automatic_differentiation():
    bore = 0.087
    for held in (40e-6, 55e-6, 80e-6):
        swept, clearance = 499e-6, ufloat(held, 1e-6)
        slope = ((swept + clearance) / clearance).derivatives[clearance]
        assert ratio_per_volume(swept, held) == pytest.approx(slope, rel=1e-12)
        gasket = ufloat(0.001, 1e-6)
        around = held + math.pi * (bore / 2) ** 2 * (gasket - 0.001)
        slope = ((swept + around) / around).derivatives[gasket]
        assert ratio_per_gasket(ratio_per_volume(swept, held), bore) == pytest.approx(slope, rel=1e-12)


@pytest.mark.outside(source="scipy", place="integrate.quad along the circle", covers="taper 5 to 40 µm")
def test_a_taper_opens_the_gap_by_its_circumference():
    for taper in (5e-6, 40e-6):
        top, bottom = (quad(lambda _, d=size: d / 2, 0, 2 * math.pi)[0] for size in (0.086 + taper, 0.086))
        assert ring_gap_taper_effect(taper) == pytest.approx(top - bottom, rel=1e-8)


@pytest.mark.outside(source="uncertainties", place="sum of two ufloat", covers="one rod bearing")
def test_two_independent_parts_of_a_rod_clearance():
    both = ufloat(0, 1.3e-6) + ufloat(0, 0.9e-6)
    assert rod_clearance_uncertainty(1.3e-6, 0.9e-6) == pytest.approx(both.std_dev, rel=1e-12)
