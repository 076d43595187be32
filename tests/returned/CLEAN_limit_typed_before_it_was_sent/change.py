"""The builder moved a limit before the workbook was sent out; it comes back with that limit."""

from sheetgen.fill import fill_workbook

entries = {"piston_clearance_upper": 0.095}


def issued(data, plan):
    return fill_workbook(data, plan, entries)
