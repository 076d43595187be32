"""The members of a zip archive, read so strictly that no two programs can see different ones."""

from __future__ import annotations

import io
import re
import struct
import unicodedata
import zipfile
import zlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from validators.errors import UnreadableFile, quoted
from validators.file_kinds import (
    TAKE_OUT,
    ZIP_END,
    ZIP_START,
    damaged,
    encrypted,
    unsafe,
)

if TYPE_CHECKING:
    from validators.container import Limits

LOCAL_HEADER = struct.Struct("<4s5H3I2H")
DIRECTORY_ENTRY = b"PK\x01\x02"
END_RECORD_BYTES = 22
LONGEST_COMMENT = 65535
ENCRYPTED_FLAGS = 0x1 | 0x40 | 0x2000
SIZES_FOLLOW_FLAG = 0x8
UTF8_FLAG = 0x800
LARGE = 0xFFFFFFFF
LARGE_FIELD = 1
FIELD = struct.Struct("<2H")
LARGE_SIZES = struct.Struct("<2Q")
BAD_NAME = re.compile(r"^/|[\\:\x00-\x1f\x7f]|(?:^|/)\.{0,2}(?:/|$)")
MEGABYTE = 1_000_000
NameOther = Callable[[bytes, Sequence[str]], UnreadableFile | None]


@dataclass(frozen=True, slots=True)
class Member:
    """One member: its directory entry and where its packed bytes are."""

    entry: zipfile.ZipInfo
    start: int
    end: int


def read_members(data: bytes, limits: Limits, name_other: NameOther | None = None) -> dict[str, bytes]:
    """Return the members of a zip archive by name, folders left out.

    Sizes are checked before anything is unpacked, and no member is unpacked past its declared size.

    Parameters
    ----------
    data : bytes
        The whole file; begins with a zip member.
    limits : Limits
        How much of everything is allowed.
    name_other : function, optional
        From the bytes and the names of the members, what to say when it is another kind of archive.

    Raises
    ------
    UnreadableFile
        FILE02 damaged or another kind of archive, FILE03 encrypted, FILE05 unsafe structure.
    """
    _check_end(data, limits)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            entries, directory = archive.infolist(), archive.start_dir
    except (zipfile.BadZipFile, NotImplementedError, struct.error, ValueError, OSError) as fault:
        raise damaged("its table of contents cannot be read") from fault
    other = None if name_other is None else name_other(data, [entry.filename for entry in entries])
    if other is not None:
        raise other
    _check_entries(entries, limits)
    members = [_locate(data, entry, directory) for entry in entries]
    _check_places(data, members, directory)
    return {m.entry.filename: _unpack(data, m) for m in members if not m.entry.is_dir()}


def _check_end(data: bytes, limits: Limits) -> None:
    tail = data[-(END_RECORD_BYTES + LONGEST_COMMENT) :]
    found = tail.count(ZIP_END)
    if found == 0:
        raise damaged("its end is missing")
    if found > 1:
        raise unsafe("a zip archive with two ends")
    record = tail[tail.index(ZIP_END) :]
    if len(record) < END_RECORD_BYTES:
        raise damaged("its end is cut short")
    if len(record) != END_RECORD_BYTES + int.from_bytes(record[20:22], "little"):
        raise unsafe("other bytes after the end of the workbook")
    if data.count(DIRECTORY_ENTRY) > limits.entries:
        raise unsafe(f"more than {limits.entries} parts", f"at most {limits.entries} parts")


def _check_entries(entries: Sequence[zipfile.ZipInfo], limits: Limits) -> None:
    seen: set[str] = set()
    for entry in entries:
        name = entry.orig_filename
        if entry.flag_bits & ENCRYPTED_FLAGS:
            raise encrypted(f"a part encrypted with a password, {quoted(name)}")
        if BAD_NAME.search(name.removesuffix("/")) or name != entry.filename:
            raise unsafe(f"a part whose name leads out of the file, {quoted(name)}")
        same = unicodedata.normalize("NFKC", name).casefold().removesuffix("/")
        if same in seen:
            raise unsafe(f"two parts of the same name, {quoted(name)}")
        seen.add(same)
        if entry.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            raise unsafe(f"an unusual compression of {quoted(name)}")
        if entry.file_size > limits.part_bytes:
            raise _too_large(quoted(name), entry.file_size, limits.part_bytes)
        if entry.file_size > limits.ratio_above_bytes:
            ratio = entry.file_size / max(entry.compress_size, 1)
            if ratio > limits.ratio:
                raise unsafe(
                    f"a part packed {ratio:.0f} times smaller than it is, {quoted(name)}",
                    f"parts packed at most {limits.ratio} times smaller",
                )
    total = sum(entry.file_size for entry in entries)
    if total > limits.total_bytes:
        raise _too_large("all parts together", total, limits.total_bytes)


def _too_large(what: str, size: int, limit: int) -> UnreadableFile:
    found = f"{what} unpacked to {size / MEGABYTE:.1f} MB"
    return unsafe(found, f"at most {limit / MEGABYTE:.0f} MB", TAKE_OUT)


def _locate(data: bytes, entry: zipfile.ZipInfo, directory: int) -> Member:
    name = quoted(entry.filename)
    begin = entry.header_offset
    if begin < 0 or begin + LOCAL_HEADER.size > directory:
        raise damaged(f"the part {name} is not where it should be")
    signature, _, flags, method, _, _, crc, packed, size, name_length, extra_length = (
        LOCAL_HEADER.unpack_from(data, begin)
    )
    name_start = begin + LOCAL_HEADER.size
    start = name_start + name_length + extra_length
    end = start + entry.compress_size
    if signature != ZIP_START or end > directory:
        raise damaged(f"the part {name} is not where it should be")
    encoding = "utf-8" if flags & UTF8_FLAG else "cp437"
    local_name = data[name_start : name_start + name_length].decode(encoding, "replace")
    if flags & ENCRYPTED_FLAGS:
        raise encrypted(f"a part encrypted with a password, {name}")
    if local_name != entry.orig_filename or method != entry.compress_type:
        raise unsafe(f"a part described in two different ways, {name}")
    if LARGE in (packed, size):
        large = _large_sizes(data[name_start + name_length : start])
        size, packed = large or (size, packed)
    told = (crc, packed, size)
    true = (entry.CRC, entry.compress_size, entry.file_size)
    follows = bool(flags & SIZES_FOLLOW_FLAG)
    if any(a != b and not (follows and a == 0) for a, b in zip(told, true, strict=True)):
        raise unsafe(f"a part with two different sizes, {name}")
    if entry.is_dir() and entry.file_size:
        raise unsafe(f"a folder that holds bytes, {name}")
    return Member(entry, start, end)


def _large_sizes(extra: bytes) -> tuple[int, int] | None:
    """Return the unpacked and packed size of a ZIP64 field in a member's own header."""
    while len(extra) >= FIELD.size:
        kind, length = FIELD.unpack_from(extra)
        content = extra[FIELD.size : FIELD.size + length]
        if kind == LARGE_FIELD and len(content) >= LARGE_SIZES.size:
            size, packed = LARGE_SIZES.unpack_from(content)
            return size, packed
        extra = extra[FIELD.size + length :]
    return None


def _check_places(data: bytes, members: Sequence[Member], directory: int) -> None:
    """Refuse members that overlap, and members hidden between the listed ones."""
    before = 0
    for member in sorted(members, key=lambda m: m.entry.header_offset):
        begin = member.entry.header_offset
        if begin < before:
            raise unsafe(f"parts that overlap, {quoted(member.entry.filename)}")
        if ZIP_START in data[before:begin]:
            raise unsafe(f"a hidden part before {quoted(member.entry.filename)}")
        before = member.end
    if ZIP_START in data[before:directory]:
        raise unsafe("a hidden part after the last one")


def _unpack(data: bytes, member: Member) -> bytes:
    entry = member.entry
    name = quoted(entry.filename)
    packed = memoryview(data)[member.start : member.end]
    if entry.compress_type == zipfile.ZIP_STORED:
        content, rest = bytes(packed), b""
    else:
        unpacker = zlib.decompressobj(-zlib.MAX_WBITS)
        try:
            content = unpacker.decompress(packed, entry.file_size + 1)
        except zlib.error as fault:
            raise damaged(f"the part {name} cannot be unpacked") from fault
        rest = unpacker.unused_data
        if not unpacker.eof and len(content) <= entry.file_size:
            raise damaged(f"the part {name} is cut short")
    if len(content) > entry.file_size or rest:
        raise unsafe(f"a part larger than it says, {name}")
    if len(content) != entry.file_size or zlib.crc32(content) != entry.CRC:
        raise damaged(f"the part {name} is not as it was written")
    return content
