"""What a cell can hold, and how a cell is named."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

CellKey = tuple[str, str]
"""Sheet title and address, such as ``("Bores", "F14")``."""

NameTarget = tuple[str, str, str]
"""Sheet title, first and last address of a defined name; one cell when the two are the same."""

ERROR_TEXTS = frozenset(
    {"#NULL!", "#DIV/0!", "#VALUE!", "#REF!", "#NAME?", "#NUM!", "#N/A", "#GETTING_DATA"}
)

_ADDRESS = re.compile(r"([A-Z]{1,3})([1-9][0-9]{0,6})")
_LETTERS = 26


@dataclass(frozen=True, slots=True)
class ErrorValue:
    """An error shown in a cell.

    Two programs often disagree about the kind, so compare by class where that matters.

    Parameters
    ----------
    text : str
        As the cell shows it.

    Examples
    --------
    >>> str(ErrorValue("#DIV/0!"))
    '#DIV/0!'
    >>> ErrorValue("n/a")
    Traceback (most recent call last):
    ValueError: 'n/a' is not an error value
    """

    text: str

    def __post_init__(self) -> None:
        if self.text not in ERROR_TEXTS:
            raise ValueError(f"{self.text!r} is not an error value")

    def __str__(self) -> str:
        return self.text


CellValue = float | str | bool | ErrorValue
"""A computed cell. A cell that was left blank is None, and only an input can be blank."""


def where(cell: CellKey) -> str:
    """Return the cell as a person would look for it.

    Examples
    --------
    >>> where(("Bores", "F14"))
    'Bores!F14'
    """
    return f"{cell[0]}!{cell[1]}"


def column_number(letters: str) -> int:
    """Return the number of a column, A being 1.

    Examples
    --------
    >>> column_number("AB")
    28
    """
    number = 0
    for letter in letters:
        number = number * _LETTERS + ord(letter) - ord("A") + 1
    return number


def column_letters(number: int) -> str:
    """Return the letters of a column, 1 being A.

    Examples
    --------
    >>> column_letters(28)
    'AB'
    """
    letters = ""
    while number:
        number, rest = divmod(number - 1, _LETTERS)
        letters = chr(ord("A") + rest) + letters
    return letters


def block(target: NameTarget) -> list[list[CellKey]]:
    """Return the cells of a name, row by row.

    Raises
    ------
    ValueError
        An address cannot be read, or the last one lies before the first.

    Examples
    --------
    >>> block(("Bores", "B2", "C2"))
    [[('Bores', 'B2'), ('Bores', 'C2')]]
    """
    sheet, first, last = target
    corners = [_ADDRESS.fullmatch(address) for address in (first, last)]
    if not corners[0] or not corners[1]:
        raise ValueError(f"{first}:{last} is not a block of cells")
    if first == last:
        return [[(sheet, first)]]
    left, right = (column_number(corner[1]) for corner in corners if corner)
    top, bottom = (int(corner[2]) for corner in corners if corner)
    if left > right or top > bottom:
        raise ValueError(f"{first}:{last} ends before it begins")
    return [
        [(sheet, f"{column_letters(column)}{row}") for column in range(left, right + 1)]
        for row in range(top, bottom + 1)
    ]


def cells_of(target: NameTarget) -> Iterator[CellKey]:
    """Yield every cell of a name, row by row."""
    for row in block(target):
        yield from row
