"""Differences between copies, packed and unpacked."""

import math
import sys

import pytest

from validators.findings import Difference, Place
from validators.packed import EntryCell, PackedDifferences

ENTRIES = tuple(EntryCell(f"bore_reading_{n}", "Bores", f"D{n}", f"Bore {n}") for n in range(300))


def difference(number, *values, issued=None, sheet="Bores", cell=None):
    place = Place(file="new.xlsx", sheet=sheet, cell=cell or f"D{number}", label=f"Bore {number}")
    return Difference(name=f"bore_reading_{number}", place=place, issued=issued, values=values)


@pytest.mark.parametrize(
    "value", [86.0 + 2**-46, -0.0, 5e-324, 1e308, math.inf, True, None, "", "86,01", "a\ud800b", "=1+1", 86],
)
def test_whatever_was_typed_comes_back(value):
    """To the last bit, and of the same kind."""
    told = (difference(3, value, None, issued=value), difference(7, "other", value))
    packed = PackedDifferences(ENTRIES, told)
    assert tuple(packed) == told
    assert [type(d.values[0]) for d in packed] == [type(value), str]
    assert repr(packed[0].values[0]) == repr(value)


def test_an_entry_that_does_not_stand_where_it_was_written_keeps_its_place():
    told = (difference(3, 1.0, 2.0, sheet="Bores (2)", cell="D9"), difference(4, 1.0, 2.0))
    assert tuple(PackedDifferences(ENTRIES, told)) == told


def test_it_is_a_sequence_like_the_one_that_was_packed():
    told = tuple(difference(n, float(n), None) for n in range(5))
    packed = PackedDifferences(ENTRIES, told)
    assert (len(packed), packed[1], packed[-2:]) == (5, told[1], told[3:])
    assert packed == told
    assert packed == PackedDifferences(ENTRIES, told)
    assert packed != told[:4]
    assert packed != PackedDifferences(ENTRIES, [*told[:4], difference(4, 4.5, None)])
    assert not PackedDifferences(ENTRIES, ())


def test_it_takes_little_room():
    """A few bytes for each entry of each file."""
    told = [difference(n, 86.0 + n * 0.0013, 86.0 + n * 0.0017, issued=86.0) for n in range(300)]
    packed = PackedDifferences(ENTRIES, told)
    assert sys.getsizeof(packed._packed) < 300 * 16
