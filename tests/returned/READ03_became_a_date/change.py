"""A spreadsheet took 4.5 for the fourth of May."""

from tests.returned.edits import type_over, wear_style_of


def change(data, plan):
    data = type_over(data, plan, "chamber_volume_2", 47972)
    return wear_style_of(data, plan, "chamber_volume_2", "measured_date")
