"""A ring set was filed for another bore.

What it finds: the mark of the ring set that was fitted is not the mark of the set whose gaps were measured in
that bore; it says for which bore the set was filed, if for any.
Why it matters: a gap is filed to one bore. In a bigger one it is too wide, in a smaller one the ends butt.
Example: on cylinder 2 sits set S3, which was filed for cylinder 3.
What to do: put every set into the bore that it was filed for, or measure its gaps in the bore where it is.
"""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen.plan import PlannedCell
from validators.checked import Checked
from validators.findings import Note, Severity
from validators.marks import bare, same_mark, shown_mark

CODE = "LIMIT09"
NAME = "other-ring-set"
SEVERITY = Severity.BLOCKS
FITTED, FILED = "ring_mark_fitted", "ring_mark"


def find(sheet: Checked) -> Iterator[Note]:
    """List the bores whose ring set was filed for another bore, or for none."""
    filed = sheet.plan.by_key[FILED]
    bores: dict[str, list[PlannedCell]] = {}
    for cell in filed:
        mark = sheet.values[cell.name]
        if mark is not None:
            bores.setdefault(bare(mark), []).append(cell)
    for fitted, own in zip(sheet.plan.by_key[FITTED], filed, strict=True):
        mark, wanted = sheet.values[fitted.name], sheet.values[own.name]
        if mark is None or wanted is None or same_mark(mark, wanted):
            continue
        if len(bores[bare(wanted)]) > 1:
            continue  # which set is meant is not known: that is said of the mark that stands twice
        if bare(mark) == bare(wanted):
            yield Note(
                place=sheet.place(fitted),
                quantity=fitted.name,
                severity=Severity.LOOK,
                found=f"ring set {shown_mark(mark)}",
                expected=f"{shown_mark(wanted)}, spelt as where its gaps were measured",
                todo="Type both marks in one way: the sheet takes them for two sets.",
            )
            continue
        of = [f"cylinder {cell.index[0]}" for cell in bores.get(bare(mark), [])]
        yield Note(
            place=sheet.place(fitted),
            quantity=fitted.name,
            found=f"ring set {shown_mark(mark)}, filed for {' and '.join(of) or 'no bore of this engine'}",
            expected=f"{shown_mark(wanted)}, the set that was filed for this bore",
            todo="Put every set into its own bore, or measure its gaps in the bore where it is.",
        )
