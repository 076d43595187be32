"""The summary shows another clearance than the sheet it is taken from."""

from sheetgen.fill import MAIN
from tests.returned.edits import edit_at


def change(data, plan):
    here = next(
        cell for cell in plan.cells
        if cell.sheet == "Summary" and cell.key == "piston_clearance" and "piston_clearance_3" in cell.formula
    )
    return edit_at(data, "Summary", here.address, show_another)


def show_another(cell):
    cell.find(f"{{{MAIN}}}v").text = "0.050"
