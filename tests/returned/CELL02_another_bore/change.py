"""The clearance was made to follow the mean bore, not the smallest."""

from tests.returned.edits import set_formula


def change(data, plan):
    return set_formula(data, plan, "piston_clearance_2", "bore_mean_2-piston_size_2", "0.05")
