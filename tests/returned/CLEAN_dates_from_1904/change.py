"""The program counts its dates from 1904."""

from sheetgen.fill import MAIN, fill_workbook
from tests.returned.edits import BOOK, edit_cell, edit_part

DAYS = 1462


def change(data, plan):
    entries = {}
    for key in ("job_date", "measured_date", "gauge_calibrated"):
        for cell in plan.by_key[key]:
            entries[cell.name] = day_of(data, plan, cell.name) - DAYS
    data = fill_workbook(data, plan, entries)
    return edit_part(data, BOOK, count_from_1904)


def day_of(data, plan, name):
    found = []
    edit_cell(data, plan, name, lambda cell: found.append(float(cell.findtext(f"{{{MAIN}}}v"))))
    return found[0]


def count_from_1904(root):
    settings = root.find(f"{{{MAIN}}}workbookPr")
    settings.set("date1904", "1")
