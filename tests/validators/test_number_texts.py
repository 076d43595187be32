"""What a text in a number cell probably stands for."""

from __future__ import annotations

import pytest

from validators.number_texts import Meant, in_length_unit, likeliest, numbers_in_text


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("86.012", 86.012, ""),
        ("'86.012", 86.012, ""),
        ("\u201986.012", 86.012, ""),
        ("  86.012 ", 86.012, ""),
        ("\u00a086.012\u202fmm", 86.012, "mm"),
        ("86,012", 86.012, ""),
        ("86.012 mm", 86.012, "mm"),
        ("86.012mm", 86.012, "mm"),
        ("86.012 MM", 86.012, "mm"),
        ('3.9175"', 3.9175, "in"),
        ("3.9175''", 3.9175, "in"),
        ("3.9175\u2033", 3.9175, "in"),
        ("3,9175 inch", 3.9175, "in"),
        ("3.9175 in.", 3.9175, "in"),
        ("2 thou", 2.0, "thou"),
        ("12 \u00b5m", 12.0, "µm"),
        ("+0.012", 0.012, ""),
        ("\u22120,012", -0.012, ""),
        ("Ø 86.012", 86.012, ""),
        ("86.", 86.0, ""),
        (".5", 0.5, ""),
        ("21 °C", 21.0, "°C"),
        ("70F", 70.0, "°F"),
        ("45 cc", 45.0, "cm³"),
        ("45 cm³", 45.0, "cm³"),
        ("1,234.5", 1234.5, ""),
        ("1.234,5", 1234.5, ""),
        ("1 234.5", 1234.5, ""),
        ("1'234.5", 1234.5, ""),
        ("1,234,567", 1234567.0, ""),
    ],
)
def test_a_text_stands_for_a_number(text, value, unit):
    """Signs, units, spaces and thousands of any habit are understood."""
    assert numbers_in_text(text)[0] == Meant(value, unit)


@pytest.mark.parametrize(
    "text",
    ["", "  ", "about 3", "1 or 2", "nan", "inf", "1e5", "0x10", "--3", "12:30", "3/4", "2 1/2",
     "86.0.12", "8,6,0", "86 mm 87", "=86", "\u0663", "4" * 41, "86\t0"],
)
def test_a_text_that_is_no_number(text):
    """What is not plainly one number is left alone."""
    assert numbers_in_text(text) == ()


def test_the_believable_reading_of_a_text_comes_first():
    """A comma is a decimal sign or parts the thousands: whichever can be right."""
    meant = numbers_in_text("6,500")
    assert likeliest(meant, lambda value: value > 100) == Meant(6500.0, "")
    assert likeliest(meant, lambda value: value < 100) == Meant(6.5, "")
    assert likeliest(meant, lambda value: False) == Meant(6.5, "")
    assert likeliest((), lambda value: True) is None


def test_lengths_are_told_in_the_unit_of_the_workbook():
    """An inch is 25.4 mm, a thou a thousandth of it."""
    assert in_length_unit(Meant(1.0, "in"), "mm") == 25.4
    assert in_length_unit(Meant(25.4, "mm"), "in") == 1.0
    assert in_length_unit(Meant(2.0, "thou"), "in") == pytest.approx(0.002)
    assert in_length_unit(Meant(21.0, "°C"), "mm") is None
    assert in_length_unit(Meant(1.0, ""), "mm") is None
