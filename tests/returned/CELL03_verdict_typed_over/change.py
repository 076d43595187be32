"""A verdict was typed over its formula, on a bore that is out of round."""

from tests.returned.edits import type_over

entries = {"bore_reading_3_middle_pin": 86.021}


def change(data, plan):
    return type_over(data, plan, "bore_out_of_round_verdict_3", "within")
