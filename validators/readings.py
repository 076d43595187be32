"""The entries of a returned workbook: what was typed, and what it can stand for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Literal

from openpyxl.styles.numbers import is_date_format
from openpyxl.utils.datetime import MAC_EPOCH, WINDOWS_EPOCH, from_excel, to_excel

from sheetgen.plan import Plan, PlannedCell
from validators.places import Located
from validators.returned import ReturnedCell

Fault = Literal["", "text", "error", "bool", "formula", "word", "spaces", "date", "undated"]
"""What is wrong with an entry.

text: text where a number or a date belongs.  error, bool, formula: no plain value.  word: not in the
list.  spaces: nothing but blanks, which a person sees as empty.  date: a date where none belongs.
undated: a number that is no date of this century where a date belongs.
"""

FIRST_DAY, LAST_DAY = datetime(2000, 1, 1), datetime(2100, 1, 1)


@dataclass(frozen=True, slots=True)
class Reading:
    """One entry: the value it can stand for (None: nothing usable), and what is wrong with it."""

    planned: PlannedCell
    located: Located
    value: float | str | None
    fault: Fault = ""

    @property
    def text(self) -> str:
        """What stands in the cell, as text."""
        held = self.located.cell
        if held is None or (held.value is None and held.raw is None):
            return ""
        value = held.raw if held.value is None else held.value
        return f"{value:.10g}" if isinstance(value, float) else str(value)

    @property
    def is_blank(self) -> bool:
        """True when a person sees an empty cell, in a place that is there."""
        return self.value is None and self.fault in ("", "spaces") and self.located.cell is not None


def read_entries(
    plan: Plan, located: Mapping[str, Located], *, counts_from_1904: bool = False
) -> dict[str, Reading]:
    """Return every entry of a returned workbook, with its fault if it has one."""
    epoch = MAC_EPOCH if counts_from_1904 else WINDOWS_EPOCH
    days = float(to_excel(FIRST_DAY, epoch)), float(to_excel(LAST_DAY, epoch))
    words = {name: {word.casefold(): word for word in told} for name, told in plan.catalogue.words.items()}
    found: dict[str, Reading] = {}
    for cell in plan.cells:
        if cell.is_input:
            at = located[cell.name]
            value, fault = _read(plan, cell, at.cell, words, days)
            found[cell.name] = Reading(cell, at, value, fault)
    return found


def _read(
    plan: Plan, planned: PlannedCell, cell: ReturnedCell | None, words: Mapping[str, Mapping[str, str]],
    days: tuple[float, float],
) -> tuple[float | str | None, Fault]:
    entry = plan.catalogue.entries[planned.key]
    if cell is None:
        return None, ""
    if cell.formula is not None:
        return None, "formula"
    if cell.kind == "error" or cell.kind == "bool":
        return None, cell.kind
    value = cell.value
    if value is None or value == "" or isinstance(value, bool):
        return None, ""
    if isinstance(value, str) and not value.strip():
        return None, "spaces"
    if entry.words:
        word = words[entry.words].get(str(value).casefold())
        return word, "" if word else "word"
    if entry.text == "date":
        if isinstance(value, str):
            return value, "text"
        return value, "" if days[0] <= value < days[1] else "undated"
    if isinstance(value, str):
        return (None, "text") if entry.measure else (value, "")
    if days[0] <= value < days[1] and shows_a_date(cell.number_format):
        return (None if entry.measure else value), "date"
    return value, ""


@lru_cache(maxsize=4096)
def shows_a_date(number_format: str) -> bool:
    """Return whether a cell of this format shows a number as a date.

    Examples
    --------
    >>> shows_a_date("dd/mm/yyyy"), shows_a_date("0.000"), shows_a_date("General")
    (True, False, False)
    """
    return bool(is_date_format(number_format))


def day(value: float, *, counts_from_1904: bool = False) -> str:
    """Return a stored date as a person reads it, "" when it is none.

    Examples
    --------
    >>> day(45780.0)
    '3 May 2025'
    """
    try:
        when = from_excel(value, MAC_EPOCH if counts_from_1904 else WINDOWS_EPOCH)
    except (ValueError, OverflowError):
        return ""
    return f"{when.day} {when:%B %Y}" if isinstance(when, datetime) else ""


def stored_as_day(value: float, *, counts_from_1904: bool = False) -> float | str:
    """Return a stored date as it is written in a build file, the number itself when it is none.

    Examples
    --------
    >>> stored_as_day(45780.0)
    '2025-05-03'
    """
    try:
        when = from_excel(value, MAC_EPOCH if counts_from_1904 else WINDOWS_EPOCH)
    except (ValueError, OverflowError):
        return value
    return when.date().isoformat() if isinstance(when, datetime) else value


def stored_day(text: str, *, counts_from_1904: bool = False) -> float | None:
    """Return how a workbook stores a date that is written 2031-05-28, None when it is no date."""
    try:
        when = datetime.fromisoformat(text)
    except ValueError:
        return None
    return float(to_excel(when, MAC_EPOCH if counts_from_1904 else WINDOWS_EPOCH))
