"""Nobody signed, and a word was typed over the state of the assembly on the job card."""

from sheetgen.fill import type_in

entries = {"machinist_name": None}


def change(data, plan):
    here = next(
        cell for cell in plan.cells
        if cell.sheet == "Job card" and cell.key == "assembly_state" and not cell.name
    )
    return type_in(data, {("Job card", here.address): "no measurement holds it"})
