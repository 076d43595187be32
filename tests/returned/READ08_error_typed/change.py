"""An error value was typed for a reading."""

from tests.returned.edits import set_raw


def change(data, plan):
    return set_raw(data, plan, "piston_reading_2", "e", "#N/A")
