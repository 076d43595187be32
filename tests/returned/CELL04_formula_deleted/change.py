"""The cell of a result was cleared."""

from tests.returned.edits import type_over


def change(data, plan):
    return type_over(data, plan, "compression_ratio_3", None)
