"""What was typed into a file, kept small enough to be held for a whole pile and compared between copies."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from validators.checked import Checked
from validators.findings import SheetReport
from validators.readings import Reading, stored_as_day

Held = float | str | bool | None
DATE_IN_FILE = "date in the document properties"
LONGEST_HELD = 200
TELLING_DIGITS = ".12g"


@dataclass(frozen=True, slots=True)
class Contents:
    """The entries of one file, in the order of its plan.

    Attributes
    ----------
    build : str
        The build definition in its birth record.
    plan : str
        Digest of the plan that it gives.
    entries : tuple
        What stands in each entry cell; None when it is blank, a date as 2031-05-28.
    moved : mapping of str to tuple of str
        Sheet and address of entries that do not stand where they were written.
    modified : datetime or None
        When the file says that it was saved last.
    """

    build: str
    plan: str
    entries: tuple[Held, ...]
    moved: Mapping[str, tuple[str, str]]
    modified: datetime | None


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of one file; `contents` is None when it could not be read.

    `lasts` is False where another run may come to something else: the program failed, or a ceiling was
    reached.
    """

    report: SheetReport
    contents: Contents | None = None
    lasts: bool = True


def contents_of(sheet: Checked) -> Contents:
    """Return what was typed into a sheet."""
    readings = list(sheet.entries.values())
    return Contents(
        build=sheet.plan.build.as_text(),
        plan=sheet.plan.digest,
        entries=tuple(held_in(sheet, reading) for reading in readings),
        moved={
            reading.planned.name: (reading.located.sheet, reading.located.address)
            for reading in readings
            if (reading.located.sheet, reading.located.address)
            != (reading.planned.sheet, reading.planned.address)
        },
        modified=moment(sheet.returned.core.modified),
    )


def held_in(sheet: Checked, reading: Reading) -> Held:
    """Return what stands in an entry, in the form in which copies are compared."""
    cell = reading.located.cell
    if cell is None:
        return None
    if cell.formula is not None:
        return f"={cell.formula}"[:LONGEST_HELD]
    value = cell.raw if cell.value is None else cell.value
    if isinstance(value, str):
        return value.strip()[:LONGEST_HELD] or None
    if isinstance(value, float) and sheet.plan.catalogue.entries[reading.planned.key].text == "date":
        return stored_as_day(value, counts_from_1904=sheet.returned.counts_from_1904)
    return value


def same_held(one: Held, other: Held) -> bool:
    """Return whether two entries are the same; numbers to the digits that every program keeps.

    Examples
    --------
    >>> same_held(0.1 + 0.2, 0.3), same_held(1.0, True), same_held("86,012", 86.012)
    (True, False, False)
    """
    return compared_as(one) == compared_as(other)


def compared_as(value: Held) -> tuple[bool, bool, str | None]:
    """Return what makes two entries the same.

    A number counts to the digits that every program keeps, a text as it is.
    """
    if isinstance(value, int | float):
        return True, isinstance(value, bool), format(value, TELLING_DIGITS)
    return False, False, value


def moment(text: str) -> datetime | None:
    """Return a date and time as a file states it; one without a zone is local time.

    Examples
    --------
    >>> moment("2031-04-11T08:30:00Z").isoformat()
    '2031-04-11T08:30:00+00:00'
    >>> moment("yesterday")
    """
    try:
        when = datetime.fromisoformat(text.strip()[:26].rstrip("Z") + ("+00:00" if "Z" in text else ""))
        return when.astimezone() if when.tzinfo is None else when
    except (ValueError, OverflowError, OSError):
        return None
