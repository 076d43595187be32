"""A reading is linked to another workbook."""

from tests.returned.edits import set_formula


def change(data, plan):
    return set_formula(data, plan, "piston_reading_2", "'[pistons.xlsx]List'!B7")
