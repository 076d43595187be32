"""A result is stored as an error value."""

from sheetgen.fill import MAIN
from tests.returned.edits import edit_cell


def change(data, plan):
    return edit_cell(data, plan, "rock_angle_1", as_error)


def as_error(cell):
    cell.set("t", "e")
    cell.find(f"{{{MAIN}}}v").text = "#DIV/0!"
