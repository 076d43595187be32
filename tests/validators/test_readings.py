"""What an entry cell can stand for, and what is wrong with it."""

from __future__ import annotations

import pytest

from tests.returned.workbooks import engine
from validators.places import Located
from validators.readings import day, read_entries, stored_day
from validators.returned import ReturnedCell

DATE = "dd/mm/yyyy"


@pytest.fixture(scope="module")
def plan():
    """The plan of an invented inline-three."""
    return engine("three").plan


def entry(plan, name, value, kind="text", formula=None, number_format="General", raw=None):
    """Read one entry."""
    blank = ReturnedCell(None, "blank", None, False, "General")
    located = {
        cell.name: Located(cell.sheet, cell.address, blank) for cell in plan.cells if cell.is_input
    }
    held = ReturnedCell(value, kind, formula, False, number_format, raw)
    located[name] = Located("", "", held)
    return read_entries(plan, located)[name]


@pytest.mark.parametrize(
    ("name", "value", "kind", "meant", "fault"),
    [
        ("piston_reading_1", 85.95, "number", 85.95, ""),
        ("piston_reading_1", 0.0, "number", 0.0, ""),
        ("piston_reading_1", "85,95", "text", None, "text"),
        ("piston_reading_1", "", "text", None, ""),
        ("piston_reading_1", " \u00a0", "text", None, "spaces"),
        ("piston_reading_1", True, "bool", None, "bool"),
        ("piston_reading_1", "#N/A", "error", None, "error"),
        ("piston_reading_1", None, "error", None, "error"),
        ("piston_reading_1", None, "blank", None, ""),
        ("piston_mark_1", "P1", "text", "P1", ""),
        ("piston_mark_1", 7.0, "number", 7.0, ""),
        ("piston_mark_1", " ", "text", None, "spaces"),
        ("piston_mark_1", False, "bool", None, "bool"),
        ("torque_plate_1", "ON", "text", "on", ""),
        ("torque_plate_1", "on ", "text", None, "word"),
        ("torque_plate_1", 1.0, "number", None, "word"),
        ("measured_date", 47955.0, "number", 47955.0, ""),
        ("measured_date", "17.4.31", "text", "17.4.31", "text"),
        ("measured_date", 17.4, "number", 17.4, "undated"),
    ],
)
def test_an_entry_has_a_value_and_perhaps_a_fault(plan, name, value, kind, meant, fault):
    """A blank is None, zero is a value, and what cannot be used is None with a fault."""
    reading = entry(plan, name, value, kind)
    assert (reading.value, reading.fault) == (meant, fault)


def test_a_formula_is_no_reading_whatever_it_gives(plan):
    """It is compared nowhere and run nowhere."""
    reading = entry(plan, "piston_reading_1", 85.95, "number", formula="85.9+0.05")
    assert (reading.value, reading.fault) == (None, "formula")


def test_a_date_in_a_number_cell_is_no_number(plan):
    """The same number without the format of a date is one, for the range to judge."""
    assert entry(plan, "piston_reading_1", 45780.0, "number", number_format=DATE).fault == "date"
    assert entry(plan, "piston_reading_1", 45780.0, "number").fault == ""
    assert entry(plan, "piston_reading_1", 85.95, "number", number_format=DATE).fault == ""


def test_a_mark_that_became_a_date_is_still_a_mark(plan):
    """It is kept, as the sheet keeps it, and told."""
    reading = entry(plan, "piston_mark_1", 45780.0, "number", number_format=DATE)
    assert (reading.value, reading.fault) == (45780.0, "date")


def test_days_are_counted_from_either_epoch():
    """The same day is 1462 less where days count from 1904."""
    assert stored_day("2031-04-17") == 47955.0
    assert stored_day("2031-04-17", counts_from_1904=True) == 47955.0 - 1462
    assert day(47955.0 - 1462, counts_from_1904=True) == day(47955.0) == "17 April 2031"
    assert stored_day("soon") is None
    assert day(1e12) == ""
