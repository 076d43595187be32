"""A constant was replaced by a formula."""

from tests.returned.edits import set_formula


def change(data, plan):
    return set_formula(data, plan, "reference_temperature", "10+10", "20")
