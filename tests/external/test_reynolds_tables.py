"""The Reynolds equation by differences: tables, the short and the long bearing, the page of both models."""

import math
import re

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from validators.film_comparison import ECCENTRICITIES, LENGTHS, PAGE, compared, page
from validators.reference.film_formula import short_sommerfeld
from validators.reference.reynolds import coarse_bearing, solved_bearing

ECCENTRIC = np.array([0.1, 0.2, 0.4, 0.6, 0.8, 0.9, 0.97])
# By length over diameter: Sommerfeld number and attitude in degrees as Raimondi and Boyd table them
# (1958, from memory), then the same by differences on much finer grids.
TABLED = {
    1.0: ([1.33, 0.631, 0.264, 0.121, 0.0446, 0.0188, 0.00474],
          [79.50, 74.02, 63.10, 50.58, 36.24, 26.45, 15.47],
          [1.3298, 0.63178, 0.2604, 0.12094, 0.044558, 0.01882, 0.0047875],
          [79.41, 73.86, 62.57, 50.53, 36.23, 26.47, 15.47]),
    0.5: ([4.31, 2.03, 0.779, 0.319, 0.0923, 0.0313, 0.00609],
          [81.62, 74.94, 61.45, 48.14, 33.31, 23.66, 13.75],
          [4.3262, 2.0318, 0.78543, 0.31929, 0.091716, 0.031241, 0.0062061],
          [81.75, 75.13, 61.78, 48.05, 32.93, 23.56, 13.81]),
    0.25: ([16.2, 7.57, 2.83, 1.07, 0.261, 0.0736, 0.0101],
           [82.31, 75.18, 60.86, 46.72, 31.04, 21.85, 12.22],
           [16.223, 7.5782, 2.8412, 1.0779, 0.26329, 0.073656, 0.01041],
           [82.47, 75.38, 61.20, 46.82, 31.25, 21.79, 12.40]),
}  # fmt: skip


@pytest.mark.parametrize("length", TABLED)
def test_solution_against_tables(length):
    number, attitude, fine_number, fine_attitude = map(np.array, TABLED[length])
    found = solved_bearing(ECCENTRIC, length)
    assert found.sommerfeld == pytest.approx(fine_number, rel=0.003)
    assert np.degrees(found.attitude) == pytest.approx(fine_attitude, abs=0.1)
    # The tables were reckoned by hand on a coarse grid: 3 per cent at the greatest eccentricity.
    assert found.sommerfeld[:-1] == pytest.approx(number[:-1], rel=0.015)
    assert found.sommerfeld[-1] == pytest.approx(number[-1], rel=0.032)
    assert np.degrees(found.attitude) == pytest.approx(attitude, abs=0.6)


def test_a_very_short_bearing_is_the_short_bearing():
    tried = np.array([0.2, 0.5, 0.8])
    found = solved_bearing(tried, 0.01)
    assert found.sommerfeld * 0.01**2 == pytest.approx(short_sommerfeld(tried), rel=2e-3)
    attitude = np.arctan(math.pi / 4 * np.sqrt(1 - tried**2) / tried)
    assert found.attitude == pytest.approx(attitude, rel=2e-3)


def long_bearing(eccentricity):
    """Load of a bearing without ends: pressure from the widest gap to where it ends without a kink."""

    def film(theta):
        return 1 + eccentricity * math.cos(theta)

    def pressure(theta, end):
        return quad(lambda t: 6 * (film(t) - film(end)) / film(t) ** 3, 0, theta, epsabs=1e-12)[0]

    end = brentq(lambda t: pressure(t, t), math.pi + 1e-3, 2 * math.pi - 1e-3)
    along, square = (
        quad(lambda t, turn=turn: pressure(t, end) * turn(t), 0, end, epsabs=1e-9)[0]
        for turn in (math.cos, math.sin)
    )
    return 1 / (math.pi * math.hypot(along, square)), math.atan2(square, -along)


@pytest.mark.parametrize("eccentricity", [0.2, 0.5, 0.8])
def test_a_very_long_bearing_has_no_ends(eccentricity):
    """Ends far away leave every cell alike but the last, which runs down to nought over its width."""
    half = 4
    coarse, fine = (
        coarse_bearing(np.array([eccentricity]), 1e4, around, half) for around in (180, 360)
    )
    load = (4 / fine.sommerfeld - 1 / coarse.sommerfeld) / 3 * half / (half - 0.5)
    number, attitude = long_bearing(eccentricity)
    assert 1 / load == pytest.approx(number, rel=1e-3)
    assert fine.attitude == pytest.approx(attitude, rel=1e-3)


def test_finer_grids_come_nearer_with_the_square_of_the_cell():
    fine = TABLED[0.5][2][3:5]
    errors = [
        np.abs(coarse_bearing(ECCENTRIC[3:5], 0.5, n, n // 10).sommerfeld / fine - 1)
        for n in (40, 80, 160)
    ]
    assert (errors[1] < errors[0] / 3).all()
    assert (errors[2] < errors[0] / 10).all()


# ---------------------------------------------------------------- the page
def test_the_two_models_are_near_each_other():
    for length in (0.25, 0.5, 1.0):
        table = compared(length)
        assert np.abs(table[:, 3]).max() < 1.4
        assert np.abs(table[:, 4]).max() < 1.2


def test_the_page_is_up_to_date():
    """Word for word; a figure may differ by one in its last place, as another machine may round it."""
    figure = re.compile(r"(?<![\w.])[+-]?\d+\.\d+")
    written, now = PAGE.read_text(encoding="utf-8"), page()
    assert figure.sub("#", written) == figure.sub("#", now)
    assert written.count("\n| ") == len(LENGTHS) * len(ECCENTRICITIES) + 2
    for one, other in zip(figure.findall(written), figure.findall(now), strict=True):
        last = 10.0 ** -min(len(text.partition(".")[2]) for text in (one, other))
        assert float(one) == pytest.approx(float(other), abs=1.01 * last)
