"""The reading of cylinder 1 was cut and pasted into the cell of cylinder 2."""

from tests.returned.edits import cut_and_paste


def change(data, plan):
    there = plan.by_name["piston_reading_2"]
    return cut_and_paste(data, plan, "piston_reading_1", there.sheet, there.address)
