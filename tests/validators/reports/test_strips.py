"""What the charts show stands where the numbers say."""

from collections import Counter
from dataclasses import replace
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from validators.findings import BatchReport
from validators.reports.spreads import BINS, spreads_of
from validators.reports.strips import WIDTH, axis_for, strips_of

NUMBERS = st.floats(-1e6, 1e6, allow_nan=False)


@given(st.none() | NUMBERS, st.none() | NUMBERS, st.lists(NUMBERS, max_size=6), st.floats(0, 100))
def test_limits_and_values_are_always_on_the_chart(lower, upper, values, guard):
    """Whatever the numbers are, limits lie on the scale and nothing leaves the picture."""
    axis = axis_for(lower, upper, values, guard)
    if axis is None:
        assert (lower, upper) == (None, None)
        return
    assert axis.low < axis.high
    assert all(axis.holds(limit) for limit in (lower, upper) if limit is not None)
    assert all(0 <= axis.at(value) <= WIDTH for value in values)


def test_a_value_out_of_sight_is_an_arrow_at_the_edge(sheet):
    """An inch in a millimetre cell does not squeeze the limits together."""
    verdict = replace(sheet().verdicts[0], lower=103.9, upper=104.1)
    (strip,) = strips_of([replace(verdict, value=4.09), replace(verdict, value=104.0, word="within")])
    assert [point.beyond for point in strip.points] == ["left", ""]
    assert strip.points[0].x == 0
    assert strip.axis.at(104.1) - strip.axis.at(103.9) > WIDTH / 4


def test_limits_that_differ_by_nothing_seen_share_a_strip(sheet):
    """Limits that follow from a measured size differ in digits that no cell shows."""
    verdict = sheet().verdicts[0]
    near, far = replace(verdict, upper=0.01301), replace(verdict, upper=0.02)
    assert [len(strip.points) for strip in strips_of([verdict, near, far])] == [2, 1]


@pytest.mark.parametrize(("upper", "marks"), [(0.013, ["0.0130"]), (0.014, ["upper limit"])])
def test_a_pile_has_one_scale_or_a_common_one(sheet, upper, marks):
    """Every judged value is in one bar, in the part of its word; limits that differ are made comparable."""
    first = sheet(word="over", value=0.02)
    second = sheet(word="within", value=0.004)
    second = replace(second, verdicts=(replace(second.verdicts[0], upper=upper),))
    (spread,) = spreads_of(BatchReport(sheets=(first, second)))
    counts = {}
    for bar in spread.bars:
        for kind, _, _, count in bar.parts:
            counts[kind] = counts.get(kind, 0) + count
    assert counts == {"out": 1, "within": 1}
    assert [told for _, told in spread.marks] == marks
    limit = spread.marks[0][0]
    for bar in spread.bars:
        assert (bar.x > limit) == (bar.parts[0][0] == "out")


@pytest.mark.parametrize(
    "limits", [(5.0, 7.0), (None, 7.0), (5.0, None), (None, 0.0), (0.0, 0.0), (-3.0, -1.0)]
)
@pytest.mark.parametrize("scale", [1.0, 30.0, 1e11])
def test_a_pile_is_drawn_on_the_scale_of_all_its_values(sheet, limits, scale):
    """Although only a few of them are held; and every value is counted once."""
    random = Random(7)
    values = [6.0 + scale * random.uniform(-1, 1) for _ in range(200)]
    first = sheet().verdicts[0]
    sheets = tuple(
        replace(sheet(), verdicts=(replace(first, value=value, lower=limits[0], upper=limits[1]),))
        for value in values
    )
    (spread,) = spreads_of(BatchReport(sheets=sheets))
    axis = axis_for(*limits, values)
    assert [x for x, _ in spread.marks] == [axis.at(limit) for limit in limits if limit is not None]
    counts = Counter(min(int(axis.at(value) / (WIDTH / BINS)), BINS - 1) for value in values)
    drawn = {int(bar.x / (WIDTH / BINS)): sum(part[3] for part in bar.parts) for bar in spread.bars}
    assert drawn == counts
    assert spread.files == len(values)
