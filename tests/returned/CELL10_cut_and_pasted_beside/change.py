"""A reading was cut and pasted beside the table."""

from tests.returned.edits import cut_and_paste


def change(data, plan):
    here = plan.by_name["piston_reading_1"]
    return cut_and_paste(data, plan, "piston_reading_1", here.sheet, f"B{here.row + 20}")
