"""A tool wrote a decimal comma and more into a number cell."""

from tests.returned.edits import set_raw


def change(data, plan):
    return set_raw(data, plan, "piston_reading_2", "n", "85,9\n" + "9" * 90)
