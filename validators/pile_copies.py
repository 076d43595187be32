"""Which files of a pile are copies of one job, which is the newest, and in what they differ."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from validators.birth import recomputer_for
from validators.contents import DATE_IN_FILE, Contents, Held, compared_as, same_held
from validators.findings import Copies, Difference, Place
from validators.packed import EntryCell, PackedDifferences
from validators.pile import FILE_TIME, MAIL_DATE

ALIKE_ENTRIES = 5
"""Files without a job number are copies when so many typed entries, and half of those in both, agree."""

NO_DATE = "order in which they were found: no date tells them apart"
ONLY_ONE_FILLED = "entries: the others are as issued"
Marks = npt.NDArray[np.uint16]
Counts = npt.NDArray[np.int32]
Entries = tuple[EntryCell, ...]
AT_ONCE = 255
"""So many entries are counted in a byte."""

FORMS = 8
"""So many are held: copies of one job stand beside each other."""

DATES = (DATE_IN_FILE, MAIL_DATE, FILE_TIME)


@dataclass(frozen=True, slots=True)
class CopyOf:
    """One file that may be a copy: place, digest, job number, dates, and the plan it was written from.

    Attributes
    ----------
    modified : datetime or None
        When the file says that it was saved last.
    read : function
        What returns its contents; they are not held for longer than they are compared.
    """

    place: str
    digest: str
    job: str
    dates: tuple[tuple[str, datetime], ...]
    plan: str
    modified: datetime | None
    read: Callable[[], Contents]

    @property
    def key(self) -> str:
        """The job number as it is compared: capitals and spaces at the ends do not matter."""
        return self.job.strip().casefold()

    def date(self, kind: str) -> datetime | None:
        """Return one of its dates."""
        if kind == DATE_IN_FILE:
            return self.modified
        return dict(self.dates).get(kind)


def same_bytes(files: Sequence[tuple[str, str]]) -> list[tuple[str, ...]]:
    """Return the places of files that are the same byte for byte, given place and digest of each."""
    grouped: dict[str, list[str]] = {}
    for place, digest in files:
        if digest:
            grouped.setdefault(digest, []).append(place)
    return [tuple(places) for places in grouped.values() if len(places) > 1]


def find_copies(files: Iterable[CopyOf]) -> list[Copies]:
    """Return the groups of copies of one job, the first of identical files standing for all.

    Two files are copies of one job when their birth records give one plan and their job numbers are
    the same; where one has no number, when what was typed into them agrees.
    """
    found = []
    shared: dict[Entries, Entries] = {}
    for group in _groups(_first_of_each(files)):
        if len(group) > 1:
            found.append(_compared(group, shared))
    return found


def _first_of_each(files: Iterable[CopyOf]) -> list[CopyOf]:
    """Keep the first of identical files."""
    kept: dict[str, CopyOf] = {}
    for file in files:
        kept.setdefault(file.digest, file)
    return list(kept.values())


def _groups(files: Sequence[CopyOf]) -> list[list[CopyOf]]:
    by_plan: dict[str, dict[str, list[CopyOf]]] = {}
    unnumbered: dict[str, list[CopyOf]] = {}
    for file in files:
        if file.key:
            by_plan.setdefault(file.plan, {}).setdefault(file.key, []).append(file)
        else:
            unnumbered.setdefault(file.plan, []).append(file)
    groups = {plan: list(jobs.values()) for plan, jobs in by_plan.items()}
    for plan, loose in unnumbered.items():
        groups[plan] = _joined(groups.get(plan, []), loose)
    return [group for groups in groups.values() for group in groups]


def _joined(groups: list[list[CopyOf]], loose: Sequence[CopyOf]) -> list[list[CopyOf]]:
    """Put each file without a job number to the first group in which one was typed like it."""
    issued = _form(loose[0].read().build).issued
    typed = TypedFiles(len(issued), sum(map(len, groups)) + len(loose))
    for number, group in enumerate(groups):
        for file in group:
            typed.add(_typed(file, issued), number)
    for file in loose:
        own = _typed(file, issued)
        at = typed.first_like(own)
        if at is None:
            at = len(groups)
            groups.append([])
        groups[at].append(file)
        typed.add(own, at)
    return groups


@dataclass(frozen=True, slots=True)
class _Form:
    """The entries of a workbook, and what stood in them when it was written."""

    entries: Entries
    issued: tuple[Held, ...]


@lru_cache(maxsize=FORMS)
def _form(build: str) -> _Form:
    inputs = [cell for cell in recomputer_for(build).plan.cells if cell.is_input]
    return _Form(
        tuple(EntryCell(cell.name, cell.sheet, cell.address, cell.label) for cell in inputs),
        tuple(cell.value for cell in inputs),
    )


def _typed(file: CopyOf, issued: Sequence[Held]) -> Marks:
    """Return a number for each entry, the same where the same was typed; 0 where nothing was."""
    return np.array([
        0 if value is None or same_held(value, given) else _mark(value)
        for value, given in zip(file.read().entries, issued, strict=True)
    ], dtype=np.uint16)


def _mark(value: Held) -> int:
    told = repr(compared_as(value)).encode("utf-8", "surrogatepass")
    return int.from_bytes(hashlib.blake2b(told, digest_size=2).digest()) or 1


class TypedFiles:
    """What was typed into many files, to be compared with one file at once.

    Two files are alike when they agree in `ALIKE_ENTRIES` entries or more, and in half of those or more that
    were typed in both. A number stands for an entry, the same where the same was typed; that two others
    have the same number happens to one entry in 65,000, which decides nothing.

    Parameters
    ----------
    entries : int
        How many entries a file has.
    files : int
        How many files there will be.
    """

    def __init__(self, entries: int, files: int) -> None:
        self._columns = np.zeros((entries, files), np.uint16)
        self._groups = np.zeros(files, np.intp)
        self._untyped = np.zeros(entries, np.intp)
        self._files = 0

    def add(self, marks: Marks, group: int) -> None:
        """Add a file, which is in a group with this number."""
        self._columns[:, self._files] = marks
        self._groups[self._files] = group
        self._untyped += marks == 0
        self._files += 1

    def first_like(self, marks: Marks) -> int | None:
        """Return the lowest number of a group in which a file is like this one."""
        same, both = self._agreement(marks)
        found = self._groups[: self._files][(same >= ALIKE_ENTRIES) & (2 * same >= both)]
        return int(found.min()) if len(found) else None

    def _agreement(self, marks: Marks) -> tuple[Counts, Counts]:
        """Return of each file in how many entries it agrees, and how many are typed in both."""
        (typed,) = np.nonzero(marks)
        same = np.zeros(self._files, np.int32)
        both = np.full(self._files, len(typed), np.int32)
        for first in range(0, len(typed), AT_ONCE):
            alike, blank = np.zeros(self._files, np.uint8), np.zeros(self._files, np.uint8)
            for entry in typed[first : first + AT_ONCE]:
                column = self._columns[entry, : self._files]
                alike += np.equal(column, marks[entry]).view(np.uint8)
                if self._untyped[entry]:
                    blank += np.equal(column, 0).view(np.uint8)
            same += alike
            both -= blank
        return same, both


def _compared(group: Sequence[CopyOf], shared: dict[Entries, Entries]) -> Copies:
    held = {file.place: file.read() for file in group}
    form = _form(held[group[0].place].build)
    ordered, told_by, times = _newest_first(group, held, form.issued)
    newest = held[ordered[0].place]
    differences = []
    for entry, issued, *values in zip(
        form.entries, form.issued, *(held[file.place].entries for file in ordered), strict=True
    ):
        if all(same_held(values[0], value) for value in values[1:]):
            continue
        sheet, address = newest.moved.get(entry.name, (entry.sheet, entry.cell))
        place = Place(file=ordered[0].place, sheet=sheet, cell=address, label=entry.label)
        differences.append(
            Difference(name=entry.name, place=place, issued=issued, values=tuple(values))
        )
    return Copies(
        job=next((file.job for file in ordered if file.job), ""),
        files=tuple(file.place for file in ordered),
        times=times,
        told_by=told_by,
        differences=PackedDifferences(shared.setdefault(form.entries, form.entries), differences),
    )


def _newest_first(
    group: Sequence[CopyOf], held: Mapping[str, Contents], issued: Sequence[Held]
) -> tuple[list[CopyOf], str, tuple[str, ...]]:
    """Return the group with its newest first, what tells so, and the times.

    A copy in which nothing was typed is never the newest. Of the others, the surest date that each has
    and that is not the same for the first two decides.
    """
    empty: list[CopyOf] = []
    filled: list[CopyOf] = []
    for file in group:
        (empty if all(map(same_held, held[file.place].entries, issued)) else filled).append(file)
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
