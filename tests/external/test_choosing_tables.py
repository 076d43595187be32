"""Choices whose best values were found by enumeration elsewhere."""

import numpy as np
import pytest

from validators.choosing.masses import match
from validators.choosing.pairing import pair
from validators.choosing.shell_programme import ShellJob, ShellProgramme
from validators.choosing.stock_lists import ShellStock

HOUSINGS = np.array([64.006, 64.009, 64.004, 64.008, 64.005])
JOURNALS = np.array([59.987, 59.982, 59.990, 59.984, 59.986])
GRADES = ("thin", "standard", "thick")


def shells(stock):
    return ShellProgramme(
        ShellJob(list(HOUSINGS - JOURNALS), [1.981, 1.986, 1.991], GRADES, 0.050, 1.0, 0, 1e3, stock)
    )


def test_two_of_each_grade_for_each_half():
    stock = ShellStock({(grade, half): 2 for grade in GRADES for half in ("upper", "lower")}, False, {})
    picked = shells(stock).solve()
    assert picked.worst == pytest.approx(0.003, abs=1e-9)
    assert picked.squares == pytest.approx(2.1e-05, abs=1e-11)
    assert not picked.bought


def test_unlimited_shells():
    assert shells(ShellStock()).solve().worst == pytest.approx(0.002, abs=1e-9)


def test_eight_pistons_in_eight_bores():
    bores = [86.0102, 86.0068, 86.0115, 86.0091, 86.0079, 86.0124, 86.0085, 86.0098]
    pistons = [85.9541, 85.9568, 85.9529, 85.9557, 85.9549, 85.9573, 85.9535, 85.9562]
    found = pair(bores, pistons, 0.0540, 1e3)
    assert [number + 1 for number in found.pistons] == [8, 3, 2, 5, 7, 6, 1, 4]
    assert found.worst == pytest.approx(0.0011, abs=1e-9)
    assert found.squares == pytest.approx(2.08e-06, abs=1e-11)


def test_four_pistons_pins_and_rods():
    found = match([345.6, 344.2, 346.1, 345.0], [92.3, 91.8, 92.9, 92.1], [148.2, 149.1, 147.6, 148.8])
    assert found.spread == pytest.approx(0.1, abs=1e-9)
