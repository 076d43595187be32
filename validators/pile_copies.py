"""Which files of a pile are copies of one job, which is the newest, and in what they differ."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sheetgen.plan import Plan
from validators.birth import recomputer_for
from validators.contents import DATE_IN_FILE, Contents, Held, same_held
from validators.findings import Copies, Difference, Place
from validators.pile import FILE_TIME, MAIL_DATE

ALIKE_ENTRIES = 5
"""Files without a job number are copies when so many typed entries, and half of those in both, agree."""

NO_DATE = "order in which they were found: no date tells them apart"
ONLY_ONE_FILLED = "entries: the others are as issued"
DATES = (DATE_IN_FILE, MAIL_DATE, FILE_TIME)


@dataclass(frozen=True, slots=True)
class CopyOf:
    """One file that may be a copy: its place, digest, job number, dates and contents."""

    place: str
    digest: str
    job: str
    dates: tuple[tuple[str, datetime], ...]
    contents: Contents

    @property
    def key(self) -> str:
        """The job number as it is compared: capitals and spaces at the ends do not matter."""
        return self.job.strip().casefold()

    def date(self, kind: str) -> datetime | None:
        """Return one of its dates."""
        if kind == DATE_IN_FILE:
            return self.contents.modified
        return dict(self.dates).get(kind)


def same_bytes(files: Sequence[tuple[str, str]]) -> list[tuple[str, ...]]:
    """Return the places of files that are the same byte for byte, given place and digest of each."""
    grouped: dict[str, list[str]] = {}
    for place, digest in files:
        if digest:
            grouped.setdefault(digest, []).append(place)
    return [tuple(places) for places in grouped.values() if len(places) > 1]


def find_copies(files: Sequence[CopyOf]) -> list[Copies]:
    """Return the groups of copies of one job, the first of identical files standing for all.

    Two files are copies of one job when their birth records give one plan and their job numbers are
    the same; where one has no number, when what was typed into them agrees.
    """
    found = []
    for group in _groups(_first_of_each(files)):
        if len(group) > 1:
            found.append(_compared(group))
    return found


def _first_of_each(files: Sequence[CopyOf]) -> list[CopyOf]:
    """Keep the first of identical files."""
    kept: dict[str, CopyOf] = {}
    for file in files:
        kept.setdefault(file.digest, file)
    return list(kept.values())


def _groups(files: Sequence[CopyOf]) -> list[list[CopyOf]]:
    by_plan: dict[str, list[list[CopyOf]]] = {}
    unnumbered: list[CopyOf] = []
    for file in files:
        if not file.key:
            unnumbered.append(file)
            continue
        groups = by_plan.setdefault(file.contents.plan, [])
        own = next((group for group in groups if group[0].key == file.key), None)
        if own is None:
            groups.append([file])
        else:
            own.append(file)
    for file in unnumbered:
        groups = by_plan.setdefault(file.contents.plan, [])
        issued = _issued(recomputer_for(file.contents.build).plan) if groups else ()
        own = next((g for g in groups if any(_alike(file, other, issued) for other in g)), None)
        if own is None:
            groups.append([file])
        else:
            own.append(file)
    return [group for groups in by_plan.values() for group in groups]


def _issued(plan: Plan) -> tuple[Held, ...]:
    """Return what stood in the entries when the workbook was written."""
    return tuple(cell.value for cell in plan.cells if cell.is_input)


def _alike(one: CopyOf, other: CopyOf, issued: Sequence[Held]) -> bool:
    """Return whether what was typed into two files, apart from what was given, mostly agrees."""
    both = same = 0
    for a, b, given in zip(one.contents.entries, other.contents.entries, issued, strict=True):
        if a is None or b is None or same_held(a, given) or same_held(b, given):
            continue
        both += 1
        same += same_held(a, b)
    return same >= ALIKE_ENTRIES and 2 * same >= both


def _compared(group: Sequence[CopyOf]) -> Copies:
    plan = recomputer_for(group[0].contents.build).plan
    ordered, told_by, times = _newest_first(group, _issued(plan))
    newest = ordered[0].contents
    differences = []
    inputs = [cell for cell in plan.cells if cell.is_input]
    for cell, issued, *values in zip(
        inputs, _issued(plan), *(file.contents.entries for file in ordered), strict=True
    ):
        if all(same_held(values[0], value) for value in values[1:]):
            continue
        sheet, address = newest.moved.get(cell.name, (cell.sheet, cell.address))
        place = Place(file=ordered[0].place, sheet=sheet, cell=address, label=cell.label)
        differences.append(
            Difference(name=cell.name, place=place, issued=issued, values=tuple(values))
        )
    return Copies(
        job=next((file.job for file in ordered if file.job), ""),
        files=tuple(file.place for file in ordered),
        times=times,
        told_by=told_by,
        differences=tuple(differences),
    )


def _newest_first(
    group: Sequence[CopyOf], issued: Sequence[Held]
) -> tuple[list[CopyOf], str, tuple[str, ...]]:
    """Return the group with its newest first, what tells so, and the times.

    A copy in which nothing was typed is never the newest. Of the others, the surest date that each has
    and that is not the same for the first two decides.
    """
    empty = [file for file in group if all(map(same_held, file.contents.entries, issued))]
    filled = [file for file in group if file not in empty]
    if len(filled) == 1:
        return [*filled, *empty], ONLY_ONE_FILLED, ("",) * len(group)
    compared = filled or empty
    rest = empty if filled else []
    for kind in DATES:
        dated = [(when, number) for number, file in enumerate(compared) if (when := file.date(kind))]
        if len(dated) < len(compared):
            continue
        dated.sort(reverse=True)
        if dated[0][0] != dated[1][0]:
            ordered = [compared[number] for _, number in dated]
            times = tuple(when.isoformat(timespec="seconds") for when, _ in dated)
            return [*ordered, *rest], kind, (*times, *("",) * len(rest))
    return [*reversed(compared), *rest], NO_DATE, ("",) * len(group)
