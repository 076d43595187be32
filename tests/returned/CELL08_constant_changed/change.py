"""A constant was changed: the expansion of grey iron."""

from tests.returned.edits import type_over


def change(data, plan):
    return type_over(data, plan, "material_expansion_m1", 12.5)
