"""The factors that are written down are those of pint, and every unit that a sheet shows is written down."""

from __future__ import annotations

import pytest

from sheetgen.catalogue import FAMILIES, load_catalogue
from validators.units import PLAIN, by_pint, scale

SHOWN = {(m.unit(family), m.si) for m in load_catalogue().measures.values() for family in FAMILIES}


@pytest.mark.parametrize(("unit", "si"), sorted(SHOWN | set(PLAIN)))
def test_a_factor_is_the_one_of_pint(unit, si):
    assert scale(unit, si) == by_pint(unit, si)


def test_every_unit_that_is_shown_is_written_down():
    assert set(PLAIN) | {("degC", "K")} >= SHOWN
