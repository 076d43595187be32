"""A clearance was typed over its formula."""

from tests.returned.edits import type_over


def change(data, plan):
    return type_over(data, plan, "piston_clearance_2", 0.05)
