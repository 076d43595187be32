"""A name stands for a number and no longer for its cell."""

from tests.returned.edits import point_name


def change(data, _):
    return point_name(data, "bore_reading_1_top_thrust", "86.002")
