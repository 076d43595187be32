"""What came of each file of a pile: of the first few in memory, of the others on disk, with a brief of each.

So memory grows by a brief for each file only, and a report reads the rest again, one file at a time.
"""

from __future__ import annotations

import shutil
import tempfile
import weakref
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property, partial
from pathlib import Path
from typing import TypeVar, overload

from sheetgen.errors import DefinitionError
from validators.contents import Contents, Outcome
from validators.findings import Brief, SheetReport
from validators.kept import DAMAGED, read_contents, read_report, read_whole
from validators.kept_form import to_record
from validators.pile_copies import CopyOf

HELD = 64
"""Of so many files everything stays in memory; a pile that is no larger never touches the disk."""

PART = ".jsonl.gz"
Dates = tuple[tuple[str, datetime], ...]
Shared = TypeVar("Shared")


@dataclass(slots=True)
class _Place:
    """One file: what is known of it without reading its record."""

    place: str
    dates: Dates
    brief: Brief | None = None
    plan: str = ""
    modified: datetime | None = None
    outcome: Outcome | None = None
    key: str = ""
    path: Path | None = None


class Shelf:
    """What came of the files of a pile, in their order.

    Parameters
    ----------
    held : int, optional
        Of how many files everything stays in memory; `HELD` unless told.
    """

    def __init__(self, held: int | None = None) -> None:
        self._held = HELD if held is None else held
        self._places: list[_Place] = []
        self._inside = 0
        self._shared: dict[object, object] = {}

    def __len__(self) -> int:
        return len(self._places)

    def room_for(self, place: str, dates: Dates) -> int:
        """Return the number of a file that was found."""
        self._places.append(_Place(place, dates))
        return len(self._places) - 1

    def put(self, number: int, outcome: Outcome, key: str = "", path: Path | None = None) -> None:
        """Put away what came of a file; `path` is its record, where there is one already.

        Raises
        ------
        DefinitionError
            There is no room on the disk.
        """
        at = self._places[number]
        at.brief = self._once(outcome.report.brief)
        if outcome.contents is not None:
            at.plan, at.modified = self._same(outcome.contents.plan), outcome.contents.modified
        if outcome.contents is not None and self._inside >= self._held:
            if path is None:
                key = str(number)
                path = self._written(outcome, key)
            at.key, at.path = key, path
        if at.path is None:
            at.outcome = outcome
            self._inside += outcome.contents is not None

    def _written(self, outcome: Outcome, key: str) -> Path | None:
        record = to_record(replace(outcome, lasts=True), key)
        if record is None:
            return None
        path = self._folder / f"{key}{PART}"
        try:
            path.write_bytes(record)
        except OSError as fault:
            why = f"what is found in a large pile cannot be held here ({fault.strerror})"
            raise DefinitionError(str(self._folder), f"{why}; TMPDIR names another folder") from None
        return path

    @cached_property
    def _folder(self) -> Path:
        folder = tempfile.mkdtemp(prefix="boreledger-")
        weakref.finalize(self, shutil.rmtree, folder, ignore_errors=True)
        return Path(folder)

    def _once(self, brief: Brief) -> Brief:
        """Return a brief that shares what it has in common with others."""
        return replace(
            brief, layout=self._same(brief.layout), engine=self._same(brief.engine),
            measured_by=self._same(brief.measured_by), kinds=self._same(brief.kinds),
            words=self._same(brief.words),
        )

    def _same(self, value: Shared) -> Shared:
        return self._shared.setdefault(value, value)  # type: ignore[return-value]

    def briefs(self) -> tuple[Brief, ...]:
        """Return the briefs of all files."""
        return tuple(map(self.brief, range(len(self))))

    def sheets(self) -> Sequence[SheetReport]:
        """Return the reports on all files; those that lie on disk are read when they are asked for."""
        if all(at.path is None for at in self._places):
            return tuple(at.outcome.report for at in self._places if at.outcome is not None)
        return Shelved(self)

    def brief(self, number: int) -> Brief:
        """Return the brief of a file."""
        brief = self._places[number].brief
        assert brief is not None
        return brief

    def outcome(self, number: int) -> Outcome:
        """Return all that came of a file.

        Raises
        ------
        DefinitionError
            Its record is gone or damaged since it was written.
        """
        at = self._places[number]
        return at.outcome or _on_disk(at, read_whole)

    def told(self, number: int) -> SheetReport:
        """Return what is said of a file, without its results, which are most of a record.

        Raises
        ------
        DefinitionError
            Its record is gone or damaged since it was written.
        """
        at = self._places[number]
        return at.outcome.report if at.outcome else _on_disk(at, read_report)

    def copies(self) -> Iterator[CopyOf]:
        """Yield every file that was read, as it is compared with others."""
        for number, at in enumerate(self._places):
            if at.plan:
                brief = self.brief(number)
                yield CopyOf(
                    place=brief.file, digest=brief.digest, job=brief.job, dates=at.dates, plan=at.plan,
                    modified=at.modified, read=partial(self._contents, number),
                )

    def _contents(self, number: int) -> Contents:
        at = self._places[number]
        contents = at.outcome.contents if at.outcome else _on_disk(at, read_contents)
        assert contents is not None
        return contents


class Shelved(Sequence[SheetReport]):
    """The reports on the files of a shelf, each read when it is asked for."""

    def __init__(self, shelf: Shelf) -> None:
        self.shelf = shelf
        self.briefs = shelf.briefs()

    def __len__(self) -> int:
        return len(self.shelf)

    @overload
    def __getitem__(self, at: int) -> SheetReport: ...
    @overload
    def __getitem__(self, at: slice) -> tuple[SheetReport, ...]: ...
    def __getitem__(self, at: int | slice) -> SheetReport | tuple[SheetReport, ...]:
        numbers = range(len(self))[at]
        if isinstance(numbers, int):
            return self.shelf.outcome(numbers).report
        return tuple(self.shelf.outcome(number).report for number in numbers)

    def told(self, number: int) -> SheetReport:
        """Return a report without its results, which is read sooner."""
        return self.shelf.told(number)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Sequence) or len(self) != len(other):
            return NotImplemented if not isinstance(other, Sequence) else False
        return all(one == another for one, another in zip(self, other, strict=True))

    __hash__ = None  # type: ignore[assignment]


def _on_disk(at: _Place, read: Callable[[Path, str, str], Shared]) -> Shared:
    assert at.path is not None
    try:
        return read(at.path, at.key, at.place)
    except DAMAGED:
        why = "what was found in a file was kept here and is gone; run again"
        raise DefinitionError(str(at.path), why) from None
