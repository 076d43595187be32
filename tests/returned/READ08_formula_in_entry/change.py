"""A reading is a formula that follows another one."""

from tests.returned.edits import set_formula


def change(data, plan):
    return set_formula(data, plan, "bore_reading_2_top_pin", "bore_reading_1_top_pin+0.002", "86")
