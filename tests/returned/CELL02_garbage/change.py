"""A formula was left half typed."""

from tests.returned.edits import set_formula


def change(data, plan):
    return set_formula(data, plan, "bore_mean_3", "AVERAGE((bore_size_3")
