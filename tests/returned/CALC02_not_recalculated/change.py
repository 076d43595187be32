"""Readings were typed in a program that did not recalculate."""

from sheetgen.fill import fill_workbook


def change(data, plan):
    return fill_workbook(data, plan, {"piston_reading_2": 85.95}, recalculate=False)
