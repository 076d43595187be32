"""Another piston or rod went into a bore than was measured for it.

What it finds: the mark read off a piston or rod as it was fitted is not the mark that was measured for that
bore; it says where the part belongs, if anywhere.
Why it matters: every clearance of that bore was computed with the other part.
Example: into bore 2 went rod R3, which was measured for cylinder 3.
What to do: put the part into its own bore, or measure the bore with the part that is in it.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity
from validators.marks import bare, same_mark, shown_mark

CODE = "LIMIT11"
NAME = "other-part-fitted"
SEVERITY = Severity.BLOCKS
PARTS = {"fitted_piston": ("piston", "piston_mark"), "fitted_rod": ("rod", "rod_mark")}


def find(sheet: Checked) -> Iterator[Note]:
    """List the parts that were not measured for the bore they are in."""
    for key, (part, measured) in PARTS.items():
        own = sheet.plan.by_key[measured]
        for cell, mine in zip(sheet.plan.by_key[key], own, strict=True):
            mark, wanted = sheet.values[cell.name], sheet.values[mine.name]
            if mark is None or (wanted is not None and same_mark(mark, wanted)):
                continue
            if wanted is not None and bare(mark) == bare(wanted):
                yield Note(
                    place=sheet.place(cell), quantity=cell.name, severity=Severity.LOOK,
                    found=f"{part} {shown_mark(mark)}",
                    expected=f"{shown_mark(wanted)}, spelt as where it was measured",
                    todo="Type both marks in one way: the sheet takes them for two parts.",
                )
                continue
            marks = {other.index[0]: sheet.values[other.name] for other in own}
            of = [
                f"cylinder {number}"
                for number, other in marks.items()
                if other is not None and bare(other) == bare(mark)
            ]
            yield Note(
                place=sheet.place(cell), quantity=cell.name,
                found=f"{part} {shown_mark(mark)}, "
                f"measured for {' and '.join(of) or 'no bore of this engine'}",
                expected="no mark here" if wanted is None
                else f"{shown_mark(wanted)}, measured for this bore",
                todo="Put the part into its own bore, or measure this bore with the part that is in it.",
            )
