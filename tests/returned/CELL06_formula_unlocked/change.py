"""A formula cell was opened to typing."""

from tests.returned.edits import wear_style_of


def change(data, plan):
    return wear_style_of(data, plan, "bore_mean_1", "bore_reading_1_top_thrust")
