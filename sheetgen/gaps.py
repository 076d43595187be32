"""What is missing on a sheet: the list of places behind the links to the first gap."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from sheetgen.catalogue import Entry
from sheetgen.naming import ALL
from sheetgen.planned import PlannedCell

LIST_COLUMN = 40
"""The list stands right of everything that is printed or filled in, on every sheet in the same columns."""
LIST_ROW = 5
LIST_HEADS = ("Place", "1 where an entry is missing", "First entry of the place", "Now first")
LINE = ("gap_place", "gap_mark", "gap_goal")
"""The roles of a line of the list, column by column."""
NOW = "gap_now"
"""The role of the cell beside a block's first line: where the link to its first gap leads by now."""
LISTED = (*LINE, NOW)
LABELS = ("row_label", "pane_label", "working_label")


class Place(NamedTuple):
    """A row of a block: what it is called, and its required entries."""

    label: str
    cells: tuple[PlannedCell, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """The names of the entries."""
        return tuple(cell.name for cell in self.cells)

    @property
    def goal(self) -> str:
        """Where a link to the place leads, as a link of a spreadsheet says it."""
        first = self.cells[0]
        return f"#'{first.sheet}'!{first.address}"


def places_of(cells: Sequence[PlannedCell], required: Iterable[PlannedCell]) -> list[Place]:
    """Return the places that a block's required entries stand in, in the order of the Tab key.

    Parameters
    ----------
    cells : sequence of PlannedCell
        The cells of the block, labels included.
    required : iterable of PlannedCell
        Those of them that must be filled in.
    """
    titles = {(cell.row, cell.column): str(cell.value) for cell in cells if cell.role in LABELS}
    rows: dict[int, list[PlannedCell]] = {}
    for cell in sorted(required, key=lambda cell: (cell.row, cell.column)):
        rows.setdefault(cell.row, []).append(cell)
    return [
        Place(_title(titles, row, members[0].column) or members[0].label, tuple(members))
        for row, members in rows.items()
    ]


def _title(titles: Mapping[tuple[int, int], str], row: int, column: int) -> str:
    """Return the label nearest to the left of a cell in its row."""
    return next((titles[row, left] for left in range(column, 0, -1) if (row, left) in titles), "")


def blanks(
    place: Place, entries: Mapping[str, Entry], everywhere: Mapping[str, Sequence[PlannedCell]]
) -> str:
    """Return the part of a formula that counts what is blank at one place.

    Entries of one quantity that stand side by side, and are all of it in that row, are counted as a range.

    Parameters
    ----------
    place : Place
        The place.
    entries : mapping of str to Entry
        The catalogue.
    everywhere : mapping of str to sequence of PlannedCell
        All cells of each quantity on the sheet.
    """
    counted: list[str] = []
    for key, members in itertools.groupby(place.cells, key=lambda cell: cell.key):
        group = list(members)
        counted += _counted(entries[key].over, group, everywhere[key])
    return "+".join(f"COUNTBLANK({{{name}}})" for name in counted)


def _counted(
    over: Sequence[str], group: Sequence[PlannedCell], everywhere: Sequence[PlannedCell]
) -> Iterator[str]:
    key, first = group[0].key, group[0]
    labels = list(zip(*(cell.index for cell in group), strict=True))
    fixed = {place: found[0] for place, found in enumerate(labels) if len(set(found)) == 1}
    alike = [c for c in everywhere if all(c.index[place] == label for place, label in fixed.items())]
    beside = [cell.column for cell in group] == list(range(first.column, first.column + len(group)))
    if len(group) > 1 and beside and len(alike) == len(group):
        spec = [f"{over[place]}={label}" for place, label in fixed.items()]
        yield f"{key}[{','.join([*spec, ALL])}]"
        return
    for cell in group:
        spec = [f"{axis}={label}" for axis, label in zip(over, cell.index, strict=True)]
        yield f"{key}[{','.join(spec)}]" if spec else key


def list_name(stem: str, role: str, number: int) -> str:
    """Return the defined name of one column of a block's part of the list.

    Examples
    --------
    >>> list_name("bores", "gap_mark", 1)
    'bores_gap_mark_1'
    """
    return f"{stem}_{role}_{number}"
