"""A tool wrote nan where a number belongs."""

from tests.returned.edits import set_raw


def change(data, plan):
    return set_raw(data, plan, "piston_reading_2", None, "nan")
