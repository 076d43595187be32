"""A step of the assembly was signed while something holds it.

What it finds: a name and a date on a step that rests on a check which is missing, out of limits or too close
to call, or on marks, rings, pins or retainers that are not right.
Why it matters: what was closed up over a fault has to come apart again, if anybody remembers.
Example: the pistons are signed as fitted while the clearance of cylinder 2 is not measured.
What to do: clear what holds the step, or take the parts down again and measure.
"""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen.assembly import steps_for
from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "LIMIT12"
NAME = "signed-too-early"
SEVERITY = Severity.BLOCKS
HELD = "signed but held"


def find(sheet: Checked) -> Iterator[Note]:
    """List the steps that are signed although something holds them."""
    titles = {step.key: step.title for step in steps_for(sheet.plan.build.layout.kind)}
    for cell in sheet.plan.by_key["step_state"]:
        if sheet.reference.get(cell.name) == HELD:
            (key,) = cell.index
            signed = sheet.plan.by_name[f"step_by_{key}"]
            count = sheet.reference[f"step_held_by_{key}"]
            yield Note(
                place=sheet.place(signed), quantity=signed.name,
                found=f"'{titles[key]}' is signed, and held by {float(str(count)):g}",
                expected="a signature after everything that the step rests on is released",
                todo="Clear what holds it (Hold points names the checks), or take it down again and measure.",
            )
