"""Readings look copied.

What it finds: a bore whose six readings are all equal, or the same six readings, in order, in two bores.
Asked only where the gauge is fine enough to tell: with a resolution of 0.001 mm a good bore does that once
in thousands, with 0.00005 in once in a thousand and with 0.0001 in once in a hundred (for information then,
and with 0.0001 in only where three bores do it), with 0.01 mm often.
Why it matters: a bore that was not measured looks as if it was.
Example: bores 2 and 3 have the same six readings.
What to do: ask whether both were measured, and measure again if nobody knows.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from sheetgen.plan import PlannedCell
from validators.checked import Checked
from validators.findings import Note, Severity
from validators.number_texts import LENGTHS

CODE = "READ11"
NAME = "readings-copied"
SEVERITY = Severity.LOOK
KEY, FEATURE = "bore_reading", "bore"
FINE, MIDDLE, COARSE = 0.0011, 0.0013, 0.0041
"""Resolution in mm up to which a coincidence is rare, can be told, and beyond which it says nothing.

The chance that six readings of a good bore are equal is 1 in 8000 with the spread of 2 µm inside a bore and a
resolution of 1 µm, about 1 in 1500 with 1.27 µm (quadrature)."""

SEVERAL = 3
TODO = "Ask whether each was measured, and measure again if nobody knows."


def find(sheet: Checked) -> Iterator[Note]:
    """Compare the readings of each bore with each other, and with those of other bores."""
    resolution = sheet.values.get(f"gauge_resolution_{FEATURE}")
    if not isinstance(resolution, float):
        return
    step = resolution * LENGTHS[sheet.plan.unit(KEY)]
    if not 0 < step <= COARSE:
        return
    severity = None if step <= FINE else Severity.INFORMATION
    grids = {cells[0].index[0]: cells for cells in _grids(sheet)}
    values = {bore: [sheet.values[cell.name] for cell in cells] for bore, cells in grids.items()}
    flat = [bore for bore, read in values.items() if len(set(read)) == 1]
    if flat and (step <= MIDDLE or len(flat) >= SEVERAL):
        several = len(flat) > 1
        yield Note(
            place=sheet.place(grids[flat[0]][0]),
            quantity=grids[flat[0]][0].name,
            severity=severity,
            found=f"all six readings are equal in bore{'s' if several else ''} {', '.join(flat)}",
            expected="readings that differ in their last digit",
            todo=TODO,
        )
    for one, other in combinations(grids, 2):
        if values[one] == values[other] and one not in flat:
            yield Note(
                place=sheet.place(grids[other][0]),
                quantity=grids[other][0].name,
                severity=severity,
                found=f"bore {other} has the same six readings as bore {one}",
                expected="readings that differ in their last digit",
                todo=TODO,
            )


def _grids(sheet: Checked) -> Iterator[list[PlannedCell]]:
    """Yield the cells of each bore of which every reading can be used."""
    grouped: dict[str, list[PlannedCell]] = {}
    for cell in sheet.plan.by_key[KEY]:
        grouped.setdefault(cell.index[0], []).append(cell)
    for cells in grouped.values():
        if all(sheet.values[cell.name] is not None and cell.name not in sheet.unusable for cell in cells):
            yield cells
