"""A spreadsheet took the mark 3-1 for a date."""

from tests.returned.edits import type_over, wear_style_of


def change(data, plan):
    for name in ("piston_mark_3", "crown_mark_3"):
        data = type_over(data, plan, name, 47851)
        data = wear_style_of(data, plan, name, "measured_date")
    return data
