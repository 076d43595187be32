"""The members of a zip archive that came back, one at a time; nothing is written."""

from __future__ import annotations

import re
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, BinaryIO

from validators.errors import UnreadableFile
from validators.file_kinds import (
    HEAD,
    MEMBERS,
    NEEDED_MEMBERS,
    ZIP_END,
    encrypted,
    name_other_archive,
    unsafe,
)
from validators.open_document import is_open_document

if TYPE_CHECKING:
    from validators.pile import PileLimits

END_BYTES = 22
LONGEST_COMMENT = 65_535
BYTES_PER_MEMBER = 512
ENCRYPTED = 0x1 | 0x40 | 0x2000
SEND_APART = "Send the workbooks by themselves, or in an archive of their own."
OFFICE_MEMBERS = frozenset(member for member, *_ in MEMBERS)


@dataclass(frozen=True, slots=True)
class Member:
    """One file in an archive: where, when, and what reads it."""

    place: str
    when: datetime | None
    archive: zipfile.ZipFile
    entry: zipfile.ZipInfo
    limits: PileLimits

    def read(self, most: int) -> bytes:
        """Return its first bytes, unpacked.

        Raises
        ------
        UnreadableFile
            FILE02 damaged, FILE03 encrypted, FILE05 packed far smaller than any workbook.
        """
        entry, limits = self.entry, self.limits
        if entry.flag_bits & ENCRYPTED:
            raise encrypted("a file in an archive that needs a password")
        if entry.file_size > limits.ratio_above_bytes and (
            entry.file_size > limits.ratio * max(entry.compress_size, 1)
        ):
            raise unsafe(
                f"a file packed {entry.file_size // max(entry.compress_size, 1)} times smaller than it is",
                f"files packed at most {limits.ratio} times smaller", SEND_APART,
            )
        try:
            with self.archive.open(entry) as file:
                return file.read(most)
        except (zipfile.BadZipFile, zlib.error, EOFError, OSError, RuntimeError, ValueError) as fault:
            raise damaged_archive("a file in it cannot be unpacked") from fault


def damaged_archive(what: str) -> UnreadableFile:
    """Return the exception of an archive that is cut short or damaged."""
    return UnreadableFile(
        "FILE02", f"a damaged archive: {what}", "a whole archive", "Ask for the archive to be sent again."
    )


def office_document(stream: BinaryIO, name: str, limits: PileLimits) -> UnreadableFile | bool:
    """Return whether a zip archive is itself a workbook, or why it is another office document.

    Parameters
    ----------
    stream : file
        The archive.
    name : str
        Its name: a file that is called .zip is never taken for an office document of a rare kind.
    limits : PileLimits
        How many files an archive may hold.
    """
    stream.seek(0)
    head = stream.read(HEAD)
    try:
        if directory_bytes(stream) > limits.members * BYTES_PER_MEMBER:
            return False
        with zipfile.ZipFile(stream) as archive:
            names = {member.lower() for member in archive.namelist()}
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError):
        return False
    finally:
        stream.seek(0)
    if names >= NEEDED_MEMBERS or is_open_document(head):
        return True
    if "mimetype" not in names and (name.lower().endswith(".zip") or not names & OFFICE_MEMBERS):
        return False
    return name_other_archive(head, names) or False


def open_archive(stream: BinaryIO, limits: PileLimits) -> Iterator[Member]:
    """Yield the files of a zip archive in the order of its table of contents.

    Raises
    ------
    UnreadableFile
        FILE02 damaged, FILE05 larger than allowed.
    """
    size = stream.seek(0, 2)
    stream.seek(0)
    if size > limits.archive_bytes:
        raise unsafe(
            "a very large archive", f"an archive of at most {limits.archive_bytes / 1e6:.0f} MB", SEND_APART
        )
    too_many = unsafe(
        f"more than {limits.members} files in one archive", f"at most {limits.members}", SEND_APART
    )
    if directory_bytes(stream) > limits.members * BYTES_PER_MEMBER:
        raise too_many
    try:
        archive = zipfile.ZipFile(stream)
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError) as fault:
        raise damaged_archive("its table of contents cannot be read") from fault
    with archive:
        entries = [entry for entry in archive.infolist() if not entry.is_dir()]
        if len(entries) > limits.members:
            raise too_many
        if sum(entry.file_size for entry in entries) > limits.unpacked_bytes:
            most = f"at most {limits.unpacked_bytes / 1e6:.0f} MB unpacked"
            raise unsafe("an archive that holds far too much", most, SEND_APART)
        seen: dict[str, int] = {}
        for entry in entries:
            place = clean_place(entry.filename)
            seen[place] = seen.get(place, 0) + 1
            again = f" ({seen[place]})" if seen[place] > 1 else ""
            yield Member(place + again, _when(entry), archive, entry, limits)


def clean_place(name: str) -> str:
    r"""Return the name of a member as a place below its archive, whatever it says.

    Examples
    --------
    >>> clean_place("../../etc/march\\job-12.xlsx"), clean_place("C:\\a\x1b.xlsx")
    ('etc/march/job-12.xlsx', 'C-/a-.xlsx')
    """
    steps = re.split(r"[/\\]", name.replace(":", "-"))
    shown = ["".join(c if c.isprintable() else "-" for c in step)[:120] for step in steps]
    return "/".join(step for step in shown if step.strip() not in ("", ".", "..")) or "unnamed"


def directory_bytes(stream: BinaryIO) -> int:
    """Return how long an archive says its table of contents is; 0 when it has no end."""
    position = stream.tell()
    size = stream.seek(0, 2)
    stream.seek(max(0, size - END_BYTES - LONGEST_COMMENT))
    tail = stream.read()
    stream.seek(position)
    at = tail.rfind(ZIP_END)
    return int.from_bytes(tail[at + 12 : at + 16], "little") if at >= 0 else 0


def _when(entry: zipfile.ZipInfo) -> datetime | None:
    try:
        return datetime(*entry.date_time).astimezone()
    except (ValueError, OverflowError, OSError):
        return None
