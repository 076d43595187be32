"""What one sheet of a returned workbook holds: its cells, validation rules and protection."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal, NamedTuple

from openpyxl.utils import get_column_letter

Kind = Literal["number", "text", "bool", "error", "blank"]
Visibility = Literal["visible", "hidden", "veryHidden"]

COLUMNS = {get_column_letter(number): number for number in range(1, 16385)}
ADDRESS = re.compile(r"([A-Z]{1,3})([1-9][0-9]{0,6})")


class CellFormat(NamedTuple):
    """The lock and the number format of a cell; what holds where nothing is said."""

    locked: bool = True
    number_format: str = "General"


class ReturnedCell(NamedTuple):
    """One cell as it came back; nothing in it has been computed here.

    Attributes
    ----------
    value : float, str, bool or None
        What the sender's program stored: for a formula the result, None when there is none. Text
        of an error such as ``#DIV/0!`` when the kind is "error", None when it is no error value
        but an ill-written one.
    kind : str
        number, text, bool, error or blank.
    formula : str or None
        Without the leading ``=``; a shared one is written out. Empty when the file says that there
        is a formula and does not give it.
    locked : bool
        The lock of the cell's format; it acts only on a protected sheet.
    number_format : str
        Code such as ``0.000``.
    raw : str or None
        The stored text of an error or of an ill-written value.
    array : str or None
        Range of an array formula or of a data table, None for a plain formula.
    """

    value: float | str | bool | None
    kind: Kind
    formula: str | None
    locked: bool
    number_format: str
    raw: str | None = None
    array: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ReturnedValidation:
    """One rule on what may be typed; `ranges` as in ``("B2:B9", "D2")``."""

    ranges: tuple[str, ...]
    type: str
    operator: str
    formula1: str | None
    formula2: str | None
    allow_blank: bool
    show_error: bool
    error_style: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """What a worksheet part says around its rows, as `ReturnedSheet` has it; and whether it has rows."""

    protected: bool
    password: bool
    protection: dict[str, bool]
    validations: tuple[ReturnedValidation, ...]
    merged: tuple[str, ...]
    column_formats: tuple[tuple[int, int, CellFormat], ...]
    has_rows: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ReturnedSheet:
    """One sheet as it came back.

    Attributes
    ----------
    title : str
        As on the tab.
    visible : str
        visible, hidden or veryHidden.
    cells : dict of str to ReturnedCell
        By address; only cells that are written in the file, blank ones with a format among them.
    protected, password : bool
        Whether the sheet is protected, and whether undoing that asks for a password.
    protection : dict of str to bool
        True where an action (``formatCells``, ``sort``, ...) is forbidden under protection.
    validations : tuple of ReturnedValidation
        In the order of the file.
    merged : tuple of str
        Ranges.
    names : dict of str to str
        Names that hold on this sheet only: lower-case name to text as stored.
    row_formats, column_formats
        What applies to cells that are not written.
    """

    title: str
    visible: Visibility
    cells: dict[str, ReturnedCell]
    protected: bool
    password: bool
    protection: dict[str, bool]
    validations: tuple[ReturnedValidation, ...]
    merged: tuple[str, ...]
    names: dict[str, str]
    row_formats: dict[int, CellFormat]
    column_formats: tuple[tuple[int, int, CellFormat], ...]

    def cell(self, address: str) -> ReturnedCell:
        """Return the cell at an address; a blank one, as locked as its row or column, if unwritten.

        Raises
        ------
        ValueError
            The address is not one.
        """
        if address in self.cells:
            return self.cells[address]
        match = ADDRESS.fullmatch(address)
        if match is None or match[1] not in COLUMNS:
            raise ValueError(f"not a cell address: {address!r}")
        plain = self.row_formats.get(int(match[2]))
        if plain is None:
            column = COLUMNS[match[1]]
            fits = (form for first, last, form in self.column_formats if first <= column <= last)
            plain = next(fits, CellFormat())
        return ReturnedCell(None, "blank", None, plain.locked, plain.number_format)
