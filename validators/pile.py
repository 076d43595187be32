"""The returned pile: every workbook in files, folders, archives and saved mails.

Each has a place that a person can follow, such as ``returned.zip/march/job-12.xlsx``.
Nothing is unpacked to disk. What is no workbook is named and passed over.
"""

from __future__ import annotations

import logging
import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from typing import BinaryIO

from validators.container import Limits, read_once
from validators.elsewhere import ADDRESS, Elsewhere, FarFile, files_at, said
from validators.errors import UnreadableFile
from validators.file_kinds import HEAD, OLE_START, unsafe
from validators.pile_archive import Member, office_document, open_archive
from validators.pile_kinds import Sort, passed_over, sort_of, told_of
from validators.pile_mail import Mail, attachments, messages

LOG = logging.getLogger("boreledger")
KEPT_BY_PROGRAMS = ("~$", ".")
KEPT_BY_SYSTEMS = frozenset({"thumbs.db", "desktop.ini", "__macosx"})
MAIL_DATE, FILE_TIME = "date of the mail", "time of the file"


@dataclass(frozen=True, slots=True, kw_only=True)
class PileLimits:
    """How much an archive or a saved mail may hold.

    A workbook has limits of its own, in `Limits`; `depth` counts archives and mails inside each other.
    """

    archive_bytes: int = 2_000_000_000
    members: int = 20_000
    unpacked_bytes: int = 4_000_000_000
    inner_bytes: int = 100_000_000
    message_bytes: int = 100_000_000
    messages: int = 100_000
    attachments: int = 1_000
    ratio: int = 100
    ratio_above_bytes: int = 1_000_000
    depth: int = 4
    workbook: Limits = field(default_factory=Limits)


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One file of the pile that is to be checked: its bytes, or why there are none."""

    place: str
    data: bytes = b""
    fault: UnreadableFile | None = None
    dates: tuple[tuple[str, datetime], ...] = ()
    """When it was sent or saved, and what says so; the surest first."""
    number: int = 0
    """Where in the run it was found, from 0."""

    @property
    def size(self) -> int:
        """Bytes that it holds in memory."""
        return len(self.data)


@dataclass(frozen=True, slots=True, kw_only=True)
class Aside:
    """One file of the pile that is no workbook: what it is, and what to do about it."""

    place: str
    found: str
    todo: str
    grave: bool = False


@dataclass(frozen=True, slots=True)
class _Here:
    place: str
    name: str
    depth: int
    dates: tuple[tuple[str, datetime], ...] = ()

    def inside(self, place: str, *dates: tuple[str, datetime]) -> _Here:
        name = place.rpartition("/")[2]
        return _Here(f"{self.place}/{place}", name, self.depth + 1, dates or self.dates)


def walk(paths: Iterable[Path | Elsewhere], limits: PileLimits | None = None) -> Iterator[Piece | Aside]:
    """Yield what is in the pile, in a stable order; one file is held at a time.

    Parameters
    ----------
    paths : paths
        Files and folders, here or elsewhere, taken in their order; folders by name, with what is in them.
    limits : PileLimits, optional
        How much an archive or a mail may hold.
    """
    limits = limits or PileLimits()
    for path in paths:
        if isinstance(path, Elsewhere):
            for file in files_at(path, _kept):
                yield from _far(file, limits)
            continue
        if not os.path.isdir(path):
            yield from _file(path, limits)
            continue
        lost: list[OSError] = []
        for folder, folders, names in os.walk(path, onerror=lost.append):
            folders[:] = sorted(name for name in folders if not _kept(name))
            for name in sorted(names):
                if not _kept(name):
                    yield from _file(Path(folder) / name, limits)
        for fault in lost:
            place = Path(os.fsdecode(fault.filename or path)).as_posix()
            yield Piece(place=place, fault=_unreadable(fault, "a folder"))


def _kept(name: str) -> bool:
    """Return whether a program or the system keeps a file for itself."""
    return name.startswith(KEPT_BY_PROGRAMS) or name.lower() in KEPT_BY_SYSTEMS


def _file(path: Path, limits: PileLimits) -> Iterator[Piece | Aside]:
    place = path.as_posix()
    try:
        read_once(path, replace(limits.workbook, file_bytes=0))
        when = datetime.fromtimestamp(path.stat().st_mtime, UTC)
        with path.open("rb") as stream:
            here = _Here(place, path.name, 0, ((FILE_TIME, when),))
            before = os.fstat(stream.fileno())
            for found in _sorted(here, stream, limits):
                if isinstance(found, Piece) and found.place == place and _changed(stream, before):
                    found = Piece(place=place, fault=found.fault or _growing(), dates=found.dates)
                yield found
    except UnreadableFile as fault:
        yield Piece(place=place, fault=fault)
    except OSError as fault:
        yield Piece(place=place, fault=_unreadable(fault))


def _far(file: FarFile, limits: PileLimits) -> Iterator[Piece | Aside]:
    try:
        with file.open() as stream:
            dates = ((FILE_TIME, file.when),) if file.when else ()
            yield from _sorted(_Here(file.place, file.name, 0, dates), stream, limits)
    except UnreadableFile as fault:
        yield Piece(place=file.place, fault=fault)
    except FileNotFoundError:
        missing = UnreadableFile(
            "FILE01", "no file of this name", "a workbook that can be opened", "Check the name of the file."
        )
        yield Piece(place=file.place, fault=missing)
    except Exception as fault:  # whatever a driver raises
        LOG.debug("%s", file.place, exc_info=True)
        yield Piece(place=file.place, fault=_unreadable(OSError(0, said(fault))))


def name_in_report(place: str) -> str:
    """Return what a file is called in a report: a path as the system spells it, an address as it is.

    Examples
    --------
    >>> name_in_report("./returned/a.xlsx"), name_in_report("memory://returned/a.xlsx")
    ('returned/a.xlsx', 'memory://returned/a.xlsx')
    """
    return place if ADDRESS.match(place) else str(Path(place))


def _changed(stream: BinaryIO, before: os.stat_result) -> bool:
    """Return whether somebody wrote a file while it was read."""
    now = os.fstat(stream.fileno())
    return (now.st_size, now.st_mtime_ns) != (before.st_size, before.st_mtime_ns)


def _growing() -> UnreadableFile:
    return UnreadableFile(
        "FILE01", "a file that is still being written", "a workbook that is whole",
        "Wait until it is there, and run again.",
    )


def _unreadable(fault: OSError, what: str = "a file") -> UnreadableFile:
    reason = fault.strerror or str(fault)
    return UnreadableFile(
        "FILE01", f"{what} that cannot be read ({reason})", "a workbook that can be opened", "Copy it again."
    )


def _sorted(here: _Here, stream: BinaryIO, limits: PileLimits) -> Iterator[Piece | Aside]:
    """Look what a file is, and yield what is in it."""
    head = stream.read(HEAD)
    sort = sort_of(here.name, head)
    stream.seek(0)
    office = office_document(stream, here.name, limits) if sort is Sort.ARCHIVE else False
    if isinstance(office, UnreadableFile):
        yield _aside(here, *told_of(office))
    elif office or sort is Sort.WORKBOOK:
        yield _workbook(here, stream, limits)
    elif sort is Sort.OTHER:
        # The streams of an old office file are named anywhere in it.
        data = stream.read(limits.workbook.file_bytes) if head.startswith(OLE_START) else head
        yield _aside(here, *passed_over(data))
    elif here.depth >= limits.depth:
        fault = unsafe(
            f"something packed {here.depth + 1} deep", f"archives and mails at most {limits.depth} deep",
            "Unpack it and send the workbooks inside.",
        )
        yield Piece(place=here.place, fault=fault)
    else:
        reader = {Sort.ARCHIVE: _archive, Sort.MAIL: _mail, Sort.MAILBOX: _mailbox}[sort]
        try:
            yield from reader(here, stream, limits)
        except UnreadableFile as fault:
            yield Piece(place=here.place, fault=fault)


def _aside(here: _Here, found: str, todo: str, grave: bool) -> Aside:
    return Aside(place=here.place, found=found, todo=todo, grave=grave)


def _workbook(here: _Here, stream: BinaryIO, limits: PileLimits) -> Piece:
    stream.seek(0)
    data = stream.read(limits.workbook.file_bytes + 1)
    return Piece(place=here.place, data=data, dates=here.dates)


# ---------------------------------------------------------------- archives


def _archive(here: _Here, stream: BinaryIO, limits: PileLimits) -> Iterator[Piece | Aside]:
    count = 0
    for member in open_archive(stream, limits):
        if any(_kept(step) for step in member.place.split("/")):
            continue
        count += 1
        kinds = ((FILE_TIME, member.when),) if member.when else ()
        dates = (*(date for date in here.dates if date[0] == MAIL_DATE), *kinds)
        inner = here.inside(member.place, *dates)
        yield from _member(inner, member, limits)
    if not count:
        yield Aside(place=here.place, found="an archive with nothing in it", todo="Ask what it should hold.")


def _member(here: _Here, member: Member, limits: PileLimits) -> Iterator[Piece | Aside]:
    try:
        head = member.read(HEAD)
        if sort_of(here.name, head) is Sort.OTHER and not head.startswith(OLE_START):
            yield _aside(here, *passed_over(head))
            return
        data = member.read(limits.inner_bytes + 1)
        if len(data) > limits.inner_bytes:
            most = f"at most {limits.inner_bytes / 1e6:.0f} MB in one member"
            raise unsafe("a very large file in an archive", most, "Send the workbooks by themselves.")
    except UnreadableFile as fault:
        yield Piece(place=here.place, fault=fault)
    else:
        yield from _sorted(here, BytesIO(data), limits)


# ---------------------------------------------------------------- mails


def _mailbox(here: _Here, stream: BinaryIO, limits: PileLimits) -> Iterator[Piece | Aside]:
    for number, message in enumerate(messages(stream, limits), start=1):
        if isinstance(message, UnreadableFile):
            yield Piece(place=f"{here.place}/message {number}", fault=message)
            continue
        mail = attachments(message, limits)
        yield from _attached(here.inside(f"message {number}{mail.told}"), mail, limits, alone=False)


def _mail(here: _Here, stream: BinaryIO, limits: PileLimits) -> Iterator[Piece | Aside]:
    data = stream.read(limits.message_bytes + 1)
    if len(data) > limits.message_bytes:
        most = f"at most {limits.message_bytes / 1e6:.0f} MB"
        raise unsafe("a very large mail", most, "Save its attachments and send the workbooks.")
    yield from _attached(here, attachments(data, limits), limits, alone=True)


def _attached(here: _Here, mail: Mail, limits: PileLimits, *, alone: bool) -> Iterator[Piece | Aside]:
    when = ((MAIL_DATE, mail.when),) if mail.when else here.dates
    if mail.fault is not None:
        yield Piece(place=here.place, fault=mail.fault)
        return
    if alone and not mail.attached:
        yield Aside(place=here.place, found="a mail with nothing attached", todo="Ask for the workbook.")
    for attachment in mail.attached:
        inner = here.inside(attachment.name, *when)
        yield from _sorted(inner, BytesIO(attachment.data), limits)

