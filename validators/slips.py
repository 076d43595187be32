"""Numbers that are not what they say: of all rules that could speak of one, the most telling does.

A slip is a number in a good cell that cannot be meant as it stands: inches for millimetres, a moved
decimal point, a deviation for a size, °F for °C, or simply out of the range of such things.  Each
rule is a check of its own; here they are put in order, so that no number is told twice, and a slip
that runs through a whole kind of reading is traced to the one cell that causes it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from sheetgen.plan import PlannedCell
from validators.findings import Note

if TYPE_CHECKING:
    from validators.checked import Checked

AT_LEAST = 3
"""So many readings of a kind that slip alike speak of what they are compared with."""


@dataclass(frozen=True, slots=True)
class Slip:
    """One number that slipped: the check that says so, its note, the factor it is off by, what is meant."""

    code: str
    note: Note
    factor: float | None = None
    meant: float | str | None = None


def find_slips(sheet: Checked) -> dict[str, Slip]:
    """Return every slip of a sheet by the name of its cell."""
    from validators.checks import (
        other_scale,
        other_unit,
        point_moved,
        reading_out_of_range,
        size_or_deviation,
    )

    rules = (other_scale, other_unit, point_moved, size_or_deviation, reading_out_of_range)
    found: dict[str, Slip] = {}
    for cell, value in in_order(sheet):
        for rule in rules:
            slip = rule.slip(sheet, cell, value, found)
            if slip is not None:
                found[cell.name] = slip
                break
    for trace in (point_moved.trace, size_or_deviation.trace):
        trace(sheet, found)
    return found


def in_order(sheet: Checked) -> Iterator[tuple[PlannedCell, float]]:
    """Yield every number that was entered, what is given first: readings are compared with it."""
    numbers = [
        (reading.planned, reading.value)
        for reading in sheet.entries.values()
        if isinstance(reading.value, float) and sheet.plan.catalogue.entries[reading.planned.key].measure
    ]
    yield from sorted(numbers, key=lambda pair: sheet.plan.catalogue.entries[pair[0].key].kind != "given")


def replace_by_cause(
    found: dict[str, Slip], members: Sequence[str], cause: str, slip: Slip
) -> None:
    """Put one slip at the cell that causes those of its members."""
    for name in members:
        del found[name]
    found[cause] = slip


def alike(found: Mapping[str, Slip], names: Sequence[str], code: str) -> bool:
    """Return whether all of these cells, and there are enough of them, slipped in one and the same way."""
    slips = [found.get(name) for name in names]
    return len(slips) >= AT_LEAST and all(
        slip is not None and slip.code == code and slip.factor == slips[0].factor  # type: ignore[union-attr]
        for slip in slips
    )


def slipped(sheet: Checked, code: str) -> Iterator[Note]:
    """Yield what one check has to say about slips, in the order of the sheet."""
    slips = sheet.slips
    for cell in sheet.plan.cells if slips else ():
        slip = slips.get(cell.name)
        if slip is not None and slip.code == code:
            yield replace(slip.note, found=slip.note.found + sheet.put_right.then(cell.name))
