"""The name of cylinder 2's piston was made to stand for cylinder 1's cell."""

from tests.returned.edits import point_name


def change(data, plan):
    first = plan.by_name["piston_reading_1"]
    return point_name(data, "piston_reading_2", f"'{first.sheet}'!${first.address[0]}${first.row}")
