"""What a plan is made of: cells, sheets and the bands of rows that stay together on paper."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from sheetgen.layout import Index
from sheetgen.template import Template


@lru_cache(maxsize=1024)
def column_letters(number: int) -> str:
    """Return a column's letters.

    Examples
    --------
    >>> column_letters(1), column_letters(27)
    ('A', 'AA')
    """
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


@lru_cache(maxsize=32768)
def cell_address(row: int, column: int) -> str:
    """Return an address as a person reads it.

    Examples
    --------
    >>> cell_address(14, 6)
    'F14'
    """
    return f"{column_letters(column)}{row}"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedCell:
    """One cell: where it stands, what it is, and what it holds when the workbook goes out."""

    sheet: str
    row: int
    column: int
    role: str
    name: str = ""
    key: str = ""
    index: Index = ()
    formula: str = ""
    value: Any = None
    label: str = ""
    columns: int = 1
    rows: int = 1
    link: str = ""
    """The address on its own sheet that a click leads to."""

    @property
    def address(self) -> str:
        """The address as a person reads it, such as F14."""
        return cell_address(self.row, self.column)

    @property
    def is_input(self) -> bool:
        """True when a person types it."""
        return self.role == "input"


@dataclass(frozen=True, slots=True)
class Band:
    """Rows that stay together on paper; `starts_page` when they begin a new page.

    `workings` when there is nothing else in them: steps on the way, which are not printed. What is not
    `titled` goes on with what stands above it.
    """

    first: int
    last: int
    starts_page: bool
    workings: bool = False
    titled: bool = True


@dataclass(frozen=True, slots=True)
class PlannedSheet:
    """One sheet: its template, how many columns and rows it uses, and its bands of rows."""

    template: Template
    columns: int
    rows: int
    bands: tuple[Band, ...]

    @property
    def printed_rows(self) -> int:
        """The rows that are printed: all but the workings at the end, unless there is nothing else."""
        last = max((band.last for band in self.bands if not band.workings), default=0)
        return last or self.rows
