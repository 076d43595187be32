"""The builder moved a limit before the workbook was sent out; the one it was written with comes back."""

from sheetgen.fill import fill_workbook


def issued(data, plan):
    return fill_workbook(data, plan, {"piston_clearance_upper": 0.095})
