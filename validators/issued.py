"""What was issued: the files that were sent out and the shop's key, to compare returned files with."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from sheetgen.errors import DefinitionError
from sheetgen.seal import ShopKey
from validators.contents import Held, contents_of
from validators.pile import Piece, walk
from validators.reports.as_text import printable
from validators.sheet import opened


@dataclass(frozen=True, slots=True)
class IssuedFile:
    """One workbook as it was sent out: what stood in each entry, by name."""

    place: str
    plan: str
    job: str
    entries: Mapping[str, Held]


@dataclass(frozen=True, slots=True)
class Issued:
    """All that returned files are compared with, besides their own birth records."""

    files: tuple[IssuedFile, ...] = ()
    key: ShopKey | None = None

    def alike(self, plan: str, job: str) -> tuple[IssuedFile, ...]:
        """Return the issued files that a returned one may have been; more than one where that is not plain.

        A returned file is known by its plan, and where several files were issued from one plan, by its job
        number. Failing that, by its job number alone: then its birth record is another one.
        """
        same_plan = [file for file in self.files if file.plan == plan]
        same_job = [file for file in self.files if job and _spelt(file.job) == _spelt(job)]
        both = [file for file in same_plan if file in same_job]
        found = same_plan if len(same_plan) == 1 else both or same_plan or same_job
        return tuple(_distinct(found))


def _spelt(job: str) -> str:
    return " ".join(job.split()).casefold()


def _distinct(files: Sequence[IssuedFile]) -> Iterator[IssuedFile]:
    """Yield the files without those that say the same as one before."""
    for number, file in enumerate(files):
        if not any(file.plan == other.plan and file.entries == other.entries for other in files[:number]):
            yield file


def read_issued(paths: Iterable[Path]) -> tuple[IssuedFile, ...]:
    """Read the files that were issued: workbooks, or folders, archives and mails that hold them.

    Raises
    ------
    DefinitionError
        There is none, or one that cannot be read; the sentence says which.
    """
    paths = tuple(paths)
    found = [_read(item) for item in walk(paths) if isinstance(item, Piece)]
    if paths and not found:
        raise DefinitionError("--issued", "there is no workbook in " + ", ".join(map(str, paths)))
    return tuple(found)


def _read(piece: Piece) -> IssuedFile:
    sheet = opened(Path(piece.place), piece.data, piece.fault)
    if sheet.unreadable is not None:
        why = f"this cannot be what was issued: {sheet.unreadable.found}"
        raise DefinitionError(printable(piece.place), why)
    job = sheet.values.get("job_number")
    return IssuedFile(
        place=piece.place,
        plan=sheet.plan.digest,
        job=f"{job:.15g}" if isinstance(job, float) else job or "",
        entries=dict(zip(sheet.entries, contents_of(sheet).entries, strict=True)),
    )
