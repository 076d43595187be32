"""What a returned workbook holds as a whole, whichever format it came in."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from validators.returned_sheet import ReturnedSheet


@dataclass(frozen=True, slots=True, kw_only=True)
class CoreProperties:
    """Document properties; "" where the file says nothing. `modified` is as stored."""

    title: str
    identifier: str
    version: str
    application: str
    modified: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReturnedWorkbook:
    """A workbook as it came back.

    Attributes
    ----------
    path : Path
        Where it was read.
    digest : str
        SHA-256 of its bytes, hexadecimal.
    sheets : tuple of ReturnedSheet
        In the order of the tabs.
    names : dict of str to str
        Names that hold in the whole workbook: lower-case name to text as stored.
    hidden_names : frozenset of str
        Those of `names` that no list in the sender's program shows.
    custom : dict of str to str, float or bool
        Custom document properties.
    core : CoreProperties
        Document properties, and the program that saved the file last.
    counts_from_1904 : bool
        Whether dates count from 1904 and not from 1900.
    """

    path: Path
    digest: str
    sheets: tuple[ReturnedSheet, ...]
    names: dict[str, str]
    hidden_names: frozenset[str]
    custom: dict[str, str | float | bool]
    core: CoreProperties
    counts_from_1904: bool

    def sheet(self, title: str) -> ReturnedSheet | None:
        """Return the sheet of a title, whatever its capitals, None when there is none."""
        wanted = title.casefold()
        return next((sheet for sheet in self.sheets if sheet.title.casefold() == wanted), None)
