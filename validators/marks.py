"""Marks on parts: when two are the same, and how a finding shows one."""

from __future__ import annotations

from validators.errors import quoted

Mark = float | str


def same_mark(one: Mark, other: Mark) -> bool:
    """Return whether a spreadsheet takes two marks for the same: capitals do not matter, blanks do.

    Examples
    --------
    >>> same_mark("Std", "std"), same_mark("std ", "std"), same_mark(1.0, "1")
    (True, False, False)
    """
    if isinstance(one, str) and isinstance(other, str):
        return one.casefold() == other.casefold()
    return type(one) is type(other) and one == other


def bare(value: Mark) -> str:
    """Return a mark without regard to capitals, spaces at its ends and whether it was typed as a number.

    Examples
    --------
    >>> bare(" p1 ") == bare("P1"), bare(1.0) == bare("1"), bare(1234567.0)
    (True, True, '1234567')
    """
    return value.strip().casefold() if isinstance(value, str) else f"{value:.15g}"


def shown_mark(mark: Mark) -> str:
    """Return a mark as a finding shows it.

    Examples
    --------
    >>> shown_mark("P1"), shown_mark(12.0)
    ("'P1'", 'the number 12')
    """
    return quoted(mark) if isinstance(mark, str) else f"the number {mark:.15g}"
