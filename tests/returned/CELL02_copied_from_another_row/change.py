"""The formula of cylinder 1 was copied into the row of cylinder 2."""

from tests.returned.edits import set_formula


def change(data, plan):
    return set_formula(data, plan, "piston_clearance_2", plan.by_name["piston_clearance_1"].formula, "0.05")
