"""Where every planned cell stands in a returned workbook, whatever was moved, renamed or deleted."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property, lru_cache
from typing import NamedTuple

from openpyxl.utils import column_index_from_string, get_column_letter

from sheetgen.gaps import LINE, LISTED
from sheetgen.plan import Plan, PlannedCell, column_letters
from validators.returned import ReturnedCell, ReturnedSheet, ReturnedWorkbook

GOAL = LINE[-1]
TARGET = re.compile(
    r"'?((?:[^'!]|'')+)'?!\$?([A-Z]{1,3})\$?([1-9][0-9]{0,6})(?::\$?([A-Z]{1,3})\$?([1-9][0-9]{0,6}))?"
)
FARTHEST = 50
"""So many rows inserted or deleted at one place are still looked for step by step."""

LAST_COLUMN, LAST_ROW = 16384, 1_048_576

Shift = tuple[int, int]
STILL: Shift = (0, 0)
Block = tuple[str, int, int, int, int]
"""Title, first row and column, last row and column."""


class Located(NamedTuple):
    """Where a planned cell stands in the returned file.

    Attributes
    ----------
    sheet, address : str
        Title and address there; as planned when it is gone.
    cell : ReturnedCell or None
        What stands there, None when the cell or its sheet is gone.
    moved : tuple of int
        Rows down and columns right of its planned place.
    alone : bool
        Whether it left the row or column that it is printed in, so that its label no longer tells
        what it is.
    """

    sheet: str
    address: str
    cell: ReturnedCell | None
    moved: Shift = (0, 0)
    alone: bool = False


def cell_key(cell: PlannedCell) -> str:
    """Return what a planned cell is known by: its name, or its place when it has none."""
    return cell.name or f"{cell.sheet}!{cell.address}"


@lru_cache(maxsize=32768)
def read_target(text: str) -> Block | None:
    """Return the block of cells that a defined name speaks of, None when it speaks of none.

    Examples
    --------
    >>> read_target("'Main bearings'!$B$27:$D$30")
    ('Main bearings', 27, 2, 30, 4)
    >>> read_target("Bores!#REF!")
    """
    match = TARGET.fullmatch(text.strip())
    if match is None or match[1] == "#REF":
        return None
    title, left, top, right, bottom = match.groups()
    first = int(top), column_index_from_string(left)
    last = (int(bottom), column_index_from_string(right)) if right else first
    if max(first[0], last[0]) > LAST_ROW or max(first[1], last[1]) > LAST_COLUMN:
        return None
    return (
        title.replace("''", "'"),
        min(first[0], last[0]), min(first[1], last[1]), max(first[0], last[0]), max(first[1], last[1]),
    )


class _Still(Mapping[str, Located]):
    """Where the cells are when nothing has moved: told when it is asked for, which is seldom."""

    def __init__(
        self, places: Mapping[str, tuple[str, str]], titles: Mapping[str, str | None],
        cells: Mapping[str, ReturnedCell | None],
    ) -> None:
        self._places, self._titles, self._cells = places, titles, cells

    def __getitem__(self, key: str) -> Located:
        title, address = self._places[key]
        return Located(self._titles[title] or title, address, self._cells[key])

    def __iter__(self) -> Iterator[str]:
        return iter(self._places)

    def __len__(self) -> int:
        return len(self._places)


class Places:
    """Finds every cell of a plan in a returned workbook.

    A named cell is where its name says.  A cell without a name is where its row and column went,
    which the named cells beside it and the label at the left of the row tell.

    Attributes
    ----------
    located : mapping of str to Located
        By `cell_key`.
    cells : mapping of str to ReturnedCell or None
        What stands in each planned cell, None where the cell is gone; by `cell_key`.
    titles : dict of str to str or None
        Planned title of a sheet to the title it has now, None when the sheet is gone.
    """

    def __init__(self, plan: Plan, workbook: ReturnedWorkbook) -> None:
        self.plan, self.workbook = plan, workbook
        self.sheets = {sheet.title.casefold(): sheet for sheet in workbook.sheets}
        self.titles: dict[str, str | None] = {}
        self._found: dict[str, Located] = {}
        self.located: Mapping[str, Located] = self._found
        if "targets" not in plan.kept:
            plan.kept["targets"] = _as_planned(plan)
            plan.kept["name texts"] = {name: _as_text(at) for name, at in plan.kept["targets"].items()}
        self.targets: Mapping[str, Block | None] = plan.kept["targets"]
        self.nothing_moved = self._is_as_written()
        if self.nothing_moved:
            self._locate_as_written()
            return
        self.targets = {
            name: read_target(workbook.names[name]) for name in plan.names if name in workbook.names
        }
        if self.targets == _as_planned(plan):
            plan.kept["name texts"] = {name: workbook.names[name] for name in plan.names}
            plan.kept["targets"] = self.targets
        grouped: dict[str, list[PlannedCell]] = {sheet.template.title: [] for sheet in plan.sheets}
        for cell in plan.cells:
            grouped[cell.sheet].append(cell)
        for title, cells in grouped.items():
            self.titles[title] = self._title_now(title, cells)
        for title, cells in grouped.items():
            self._locate(title, cells)
        self.cells: Mapping[str, ReturnedCell | None] = {key: at.cell for key, at in self._found.items()}

    def _is_as_written(self) -> bool:
        """Return whether all sheets are there and every name reads as in a workbook where none had moved."""
        texts: Mapping[str, str] = self.plan.kept["name texts"]
        names, kept = self.workbook.names, self.plan.kept
        if kept.get("names as written") is not names:
            if not texts.items() <= names.items():
                return False
            kept["names as written"] = names
        return all(sheet.template.title.casefold() in self.sheets for sheet in self.plan.sheets)

    def _locate_as_written(self) -> None:
        kept = self.plan.kept
        if "places" not in kept:
            grouped: dict[str, list[tuple[str, str]]]
            grouped = {sheet.template.title: [] for sheet in self.plan.sheets}
            for planned in self.plan.cells:
                grouped[planned.sheet].append((cell_key(planned), planned.address))
            kept["places"] = grouped
        cells: dict[str, ReturnedCell | None] = {}
        for title, places in kept["places"].items():
            held = self.sheets[title.casefold()]
            written = held.cells
            self.titles[title] = held.title
            for key, address in places:
                cells[key] = written[address] if address in written else held.cell(address)
        self.cells = cells
        if "place of" not in kept:
            kept["place of"] = {
                key: (title, address) for title, places in kept["places"].items() for key, address in places
            }
        self.located = _Still(kept["place of"], self.titles, cells)

    def sheet(self, title: str) -> ReturnedSheet | None:
        """Return the returned sheet that a planned title stands for now."""
        now = self.titles.get(title)
        return None if now is None else self.sheets[now.casefold()]

    def _single(self, name: str) -> tuple[str, int, int] | None:
        target = self.targets.get(name)
        if target is None or target[1:3] != target[3:5]:
            return None
        return target[:3]

    def _title_now(self, title: str, cells: Iterable[PlannedCell]) -> str | None:
        """Return the title where most of the names of a sheet point now, else its own if it is there."""
        votes: Counter[str] = Counter()
        named = [cell.name for cell in cells if cell.name]
        for name in named:
            single = self._single(name)
            if single and single[0].casefold() in self.sheets:
                votes[single[0].casefold()] += 1
        for now, count in votes.most_common(1):
            if count > len(named) / 2:
                return self.sheets[now].title
        held = self.sheets.get(title.casefold())
        return None if held is None else held.title

    # ------------------------------------------------------------ one sheet

    def _locate(self, title: str, cells: list[PlannedCell]) -> None:
        held = self.sheet(title)
        if held is None:
            for cell in cells:
                self._found[cell_key(cell)] = self._named(cell, (0, 0)) if cell.name else _gone(cell)
            return
        rows, columns, lost_rows = self._shifts(held, cells)
        still = not lost_rows and not any(rows.values()) and not any(columns.values())
        for cell in cells:
            shift = STILL if still else (_nearest(rows, cell.row)[0], _nearest(columns, cell.column)[0])
            if cell.name:
                self._found[cell.name] = self._named(cell, shift)
            elif still:
                self._found[cell_key(cell)] = _at(held, cell, shift)
            elif cell.row in lost_rows:
                self._found[cell_key(cell)] = _gone(cell)
            else:
                self._found[cell_key(cell)] = _unnamed(held, cell, rows, columns)

    def _named(self, cell: PlannedCell, shift: Shift) -> Located:
        if cell.name not in self.workbook.names:
            held = self.sheet(cell.sheet)
            return _gone(cell) if held is None else _at(held, cell, shift)
        single = self._single(cell.name)
        if single is None:
            return _gone(cell)
        title, row, column = single
        moved = row - cell.row, column - cell.column
        held = self.sheets.get(title.casefold())
        address = f"{get_column_letter(column)}{row}"
        if held is None:
            return Located(title, address, None, moved)
        elsewhere = self.titles.get(cell.sheet) != held.title
        return Located(held.title, address, held.cell(address), moved, elsewhere or moved != shift)

    def _shifts(
        self, held: ReturnedSheet, cells: Iterable[PlannedCell]
    ) -> tuple[dict[int, int], dict[int, int], set[int]]:
        """Return how far each row and column went, and the rows that are gone."""
        rows: dict[int, Counter[int]] = {}
        columns: dict[int, Counter[int]] = {}
        lost: dict[int, bool] = {}
        labels: dict[int, str] = {}
        for cell in cells:
            if not cell.name:
                if cell.role == "row_label":
                    labels[cell.row] = str(cell.value)
                continue
            single = self._single(cell.name)
            if cell.name in self.workbook.names:
                lost[cell.row] = lost.get(cell.row, True) and single is None
            if single is None or single[0].casefold() != held.title.casefold():
                continue
            rows.setdefault(cell.row, Counter())[single[1] - cell.row] += 1
            columns.setdefault(cell.column, Counter())[single[2] - cell.column] += 1
        across = {column: votes.most_common(1)[0][0] for column, votes in columns.items()}
        down = {row: votes.most_common(1)[0][0] for row, votes in rows.items()}
        for row, label in labels.items():
            if down.get(row) and _stands(held, label, row) and not _stands(held, label, row + down[row]):
                down[row] = 0  # the label stayed: only the cell went
        down |= _rows_of_goals(held, cells, down, across)
        return down, across, {row for row, gone in lost.items() if gone}

    # ------------------------------------------------------------ names of ranges

    @cached_property
    def _at(self) -> Mapping[tuple[str, int, int], str]:
        return {
            (cell.sheet, cell.row, cell.column): cell_key(cell)
            for cell in self.plan.cells if cell.name or cell.role in LISTED
        }

    def members(self, name: str) -> list[str]:
        """Return the cells that a name was written for, by `cell_key`."""
        title, first, last = self.plan.names[name]
        return [
            self._at[title, row, column]
            for row in range(first[0], last[0] + 1)
            for column in range(first[1], last[1] + 1)
        ]

    def broken_ranges(self) -> Mapping[str, str]:
        """Return the names of ranges that no longer cover exactly their cells: name to what is wrong.

        A range whose cells went, or left their rows, is not named: that is said of the cells.
        """
        found: dict[str, str] = {}
        if self.nothing_moved:
            return found
        for name in self.plan.names:
            if name in self.located:
                continue
            members = [self.located[member] for member in self.members(name)]
            if any(member.cell is None or member.alone for member in members):
                continue
            if name not in self.workbook.names:
                found[name] = "is missing"
                continue
            corners = [read_address(member.address) for member in members]
            wanted = (
                members[0].sheet.casefold(), min(r for r, _ in corners), min(c for _, c in corners),
                max(r for r, _ in corners), max(c for _, c in corners),
            )
            target = self.targets[name]
            if target is None or (target[0].casefold(), *target[1:]) != wanted:
                found[name] = "points elsewhere"
        return found


def _as_planned(plan: Plan) -> Mapping[str, Block]:
    return {name: (title, *first, *last) for name, (title, first, last) in plan.names.items()}


def _as_text(block: Block) -> str:
    """Return where a name points to as a workbook says it when it is written."""
    title, top, left, bottom, right = block
    area = f"${column_letters(left)}${top}"
    if (top, left) != (bottom, right):
        area += f":${column_letters(right)}${bottom}"
    return f"'{title}'!{area}"


def read_address(address: str) -> tuple[int, int]:
    """Return row and column of an address.

    Examples
    --------
    >>> read_address("AB12")
    (12, 28)
    """
    letters = address.rstrip("0123456789")
    return int(address[len(letters):]), column_index_from_string(letters)


def _gone(cell: PlannedCell) -> Located:
    return Located(cell.sheet, cell.address, None)


def _at(held: ReturnedSheet, cell: PlannedCell, shift: Shift) -> Located:
    row, column = cell.row + shift[0], cell.column + shift[1]
    if row < 1 or column < 1:
        return _gone(cell)
    address = f"{get_column_letter(column)}{row}"
    return Located(held.title, address, held.cell(address), shift)


def _rows_of_goals(
    held: ReturnedSheet, cells: Iterable[PlannedCell], rows: Mapping[int, int], columns: Mapping[int, int]
) -> dict[int, int]:
    """Return how far rows of the list of gaps went in which no cell has a name: their goals tell."""
    found: dict[int, int] = {}
    for cell in cells:
        if cell.role == GOAL and cell.row not in rows:
            for shift in ((down, across) for down in _nearest(rows, cell.row)
                          for across in _nearest(columns, cell.column)):
                located = _at(held, cell, shift)
                if located.cell is not None and _is(cell, located.cell):
                    found[cell.row] = shift[0]
                    break
    return found


def _unnamed(
    held: ReturnedSheet, cell: PlannedCell, rows: Mapping[int, int], columns: Mapping[int, int]
) -> Located:
    """Find a cell without a name between rows that went different ways."""
    down, across = _nearest(rows, cell.row), _nearest(columns, cell.column)
    tried = [_at(held, cell, (row, column)) for row in down for column in across]
    for located in tried:
        if located.cell is not None and _is(cell, located.cell):
            return located
    return tried[0] if len(tried) == 1 else _gone(cell)


def _is(cell: PlannedCell, held: ReturnedCell) -> bool:
    if cell.formula:
        return held.formula is not None
    if isinstance(cell.value, str):
        return same_words(str(held.value or ""), cell.value)
    return held.value == cell.value


def same_words(found: str, planned: str) -> bool:
    """Return whether two texts are the same but for blanks and line breaks."""
    return found == planned or found.split() == planned.split()


def _stands(held: ReturnedSheet, label: str, row: int) -> bool:
    """Return whether a row label stands at the left of a row."""
    if row < 1:
        return False
    value = held.cell(f"A{row}").value
    return isinstance(value, str) and same_words(value, label)


def _nearest(shifts: Mapping[int, int], line: int) -> tuple[int, ...]:
    """Return the shift of a line, or all between those of the nearest known lines before and behind it."""
    if line in shifts:
        return (shifts[line],)
    before = shifts[max(known)] if (known := [n for n in shifts if n < line]) else 0
    behind = shifts[min(known)] if (known := [n for n in shifts if n > line]) else before
    if abs(behind - before) > FARTHEST:
        return (before, behind)
    step = 1 if behind >= before else -1
    return tuple(range(before, behind + step, step))
