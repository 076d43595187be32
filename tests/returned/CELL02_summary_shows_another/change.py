"""On the summary a verdict of cylinder 2 shows that of cylinder 1."""

from sheetgen.fill import MAIN
from tests.returned.edits import edit_at


def change(data, plan):
    here = next(
        cell for cell in plan.cells
        if cell.sheet == "Summary" and not cell.name and "piston_clearance_verdict_2" in cell.formula
    )
    return edit_at(data, "Summary", here.address, shows_another)


def shows_another(cell):
    formula = cell.find(f"{{{MAIN}}}f")
    formula.text = formula.text.replace("verdict_2", "verdict_1")
