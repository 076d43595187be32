"""Copies of one job as a report shows them: the newest first, and the entries in which they differ."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from validators.contents import Held, same_held
from validators.findings import BatchReport, Copies, Difference, Finding, Place
from validators.reports.as_text import shown_names

MOST_ROWS, MOST_ROWS_LARGE = 40, 12
MOST_FILES = 6
"""Copies of one job that stand beside each other; the rest is in the other reports."""

MOST_PADDED = 1e6
"""A number beyond this is no size, and is told as it is."""

Said = dict[str, list[tuple[str, Finding]]]


@dataclass(frozen=True)
class CopyFile:
    """One copy: its path, when it was saved, and what the pile says of it."""

    file: str
    time: str
    findings: tuple[tuple[str, Finding], ...]  # with their place on the page


@dataclass(frozen=True)
class CopyRow:
    """One entry in which copies differ."""

    place: Place
    issued: str
    values: tuple[tuple[str, bool], ...]  # as told, and whether it is another than the newest has


@dataclass(frozen=True)
class CopyGroup:
    """The copies of one job."""

    job: str
    told_by: str
    files: tuple[CopyFile, ...]
    more_files: int
    rows: tuple[CopyRow, ...]
    more_rows: int
    only_filled: int  # entries that are as issued, or blank, in every copy but the newest


def groups_of(report: BatchReport, *, large: bool = False) -> tuple[CopyGroup, ...]:
    """Return every group of copies, those with the most to ask about first."""
    most = MOST_ROWS_LARGE if large else MOST_ROWS
    said: Said = {}
    for number, finding in enumerate(report.findings, 1):
        if finding.code == "PILE02":
            said.setdefault(finding.place.file, []).append((f"pile-{number}", finding))
    found = [_group(copies, said, most) for copies in report.copies]
    return tuple(sorted(found, key=lambda group: -len(group.rows) - group.more_rows))


def _group(copies: Copies, said: Said, most: int) -> CopyGroup:
    apart = [d for d in copies.differences if not only_filled(d)]
    beside = zip(copies.files[:MOST_FILES], copies.times[:MOST_FILES], strict=True)
    return CopyGroup(
        job=copies.job, told_by=copies.told_by,
        files=tuple(CopyFile(file, time, tuple(said.get(file, ()))) for file, time in beside),
        more_files=max(len(copies.files) - MOST_FILES, 0),
        rows=tuple(map(_row, apart[:most])), more_rows=max(len(apart) - most, 0),
        only_filled=len(copies.differences) - len(apart),
    )


def _row(difference: Difference) -> CopyRow:
    shown = difference.values[:MOST_FILES]
    places = max(map(_decimals, (*shown, difference.issued)))
    values = ((told(value, places), not same_held(value, shown[0])) for value in shown)
    return CopyRow(difference.place, told(difference.issued, places), tuple(values))


def _decimals(value: Held) -> int:
    """Return how many decimals a number was typed with."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return 0
    text = f"{value:.10g}"
    return 0 if "e" in text else len(text.partition(".")[2])


def only_filled(difference: Difference) -> bool:
    """Return whether the newest says something and every older copy has the entry as it was issued."""
    return all(
        same_held(value, difference.values[0]) or untouched(difference, value)
        for value in difference.values[1:]
    )


def untouched(difference: Difference, value: Held) -> bool:
    """Return whether nothing was typed here."""
    return value is None or same_held(value, difference.issued)


def told(value: Held, places: int = 0) -> str:
    """Return an entry as a person would say it, a number with so many decimals at least.

    Examples
    --------
    >>> told(None), told(86.01), told(86.0, 2), told(True), told("P1")
    ('blank', '86.01', '86.00', 'TRUE', 'P1')
    """
    if value is None:
        return "blank"
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if not isinstance(value, int | float):
        return value
    padded = _decimals(value) < places and abs(value) < MOST_PADDED
    return f"{value:.{places}f}" if padded else f"{value:.10g}"


def apart(copies: Copies) -> Iterator[tuple[int, Difference]]:
    """Yield every entry in which an older copy is not as the newest, with the number of that copy."""
    differences = tuple(copies.differences)
    for number in range(1, len(copies.files)):
        for difference in differences:
            if not same_held(difference.values[number], difference.values[0]):
                yield number, difference


def standing(report: BatchReport) -> Iterator[tuple[str, str]]:
    """Yield what each copy is called in a list of files: its path and its standing."""
    for copies in report.copies:
        for number, file in enumerate(copies.files):
            yield file, f"the newest of {len(copies.files)} copies" if not number else "an older copy"


def names_in(report: BatchReport) -> dict[str, str]:
    """Return what every file that a report speaks of is called in it."""
    files = dict.fromkeys((
        *(sheet.file for sheet in report.briefs), *(finding.place.file for finding in report.findings),
        *(file for copies in report.copies for file in copies.files),
    ))
    return dict(zip(files, shown_names(list(files)), strict=True))
