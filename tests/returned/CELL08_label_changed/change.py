"""A row label was changed: two cylinders changed places on paper."""

from sheetgen.fill import type_in


def change(data, plan):
    row = plan.by_name["bore_reading_2_top_thrust"].row
    return type_in(data, {("Bores", f"A{row}"): "Cylinder 3"})
