"""Spoils a workbook's bytes, and the members of its archive."""

from __future__ import annotations

import io
import random
import re
import struct
import zipfile
from collections.abc import Callable, Sequence

Parts = dict[str, bytes]
Pack = Callable[[Parts, frozenset[str]], bytes]
STORED_SHARE = 0.75
"""Share of archives whose parts are mostly not packed smaller: these are made and read at half the cost."""

NAMES = (
    "xl/vbaProject.bin", "xl/externalLinks/externalLink1.xml", "xl/connections.xml", "../../escape.xml",
    "/absolute.xml", "xl\\workbook.xml", "XL/Workbook.xml", "xl/workbook.xml/", "xl/worksheets/sheet1.xml",
    "xl/worksheets/SHEET1.XML", "xl/activeX/activeX1.bin", "mimetype", "xl/embeddings/o.bin", "a\x00b.xml",
    "xl/calcChain.xml", "[Content_Types].xml", "EncryptedPackage", "xl/queryTables/q.xml", "\u202egnp.xml",
    "xl/macrosheets/sheet1.xml", "customXml/item1.xml", "_rels/.rels", "CON", "x" * 300 + ".xml",
)
PICTURES = re.compile(r"(?:xl/(?:charts|drawings|media|theme|worksheets/_rels)|docProps)/")
PICTURES_SHARE = 0.2
"""Share of changes in what is two thirds of the parts and says nothing of what cells hold."""

FIELDS = (0, 1, 2, 0x7F, 0xFF, 0xFFFF, 0x7FFFFFFF, 0xFFFFFFFF)
MARKS = (b"PK\x01\x02", b"PK\x03\x04", b"PK\x05\x06", b"PK\x06\x06", b"PK\x06\x07")


def packed(parts: Parts, *, stored: frozenset[str] = frozenset()) -> bytes:
    """Return an archive of some parts."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        for name, data in parts.items():
            method = zipfile.ZIP_STORED if name in stored else zipfile.ZIP_DEFLATED
            archive.writestr(zipfile.ZipInfo(name), data, method)
    return out.getvalue()


def one_of(names: Sequence[str], chance: random.Random) -> str:
    """Return one of the names of parts, seldom that of a picture."""
    pictures = chance.random() < PICTURES_SHARE
    among = [name for name in names if bool(PICTURES.match(name)) == pictures]
    return chance.choice(among or names)


def unpacked(data: bytes) -> Parts:
    """Return the parts of an archive."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {item.filename: archive.read(item) for item in archive.infolist()}


# ---------------------------------------------------------------- bytes


def spoilt_bytes(data: bytes, chance: random.Random) -> bytes:
    """Return a file with one to eight spots spoilt."""
    spoilt = bytearray(data)
    for _ in range(1 if chance.random() < 0.5 else chance.randrange(2, 9)):
        if not spoilt:
            break
        chance.choice(SPOTS)(spoilt, chance)
    return bytes(spoilt)


def _place(spoilt: bytearray, chance: random.Random) -> int:
    """Return a place anywhere, near an end, or at a mark of the archive."""
    turn = chance.random()
    if turn < 0.3:
        return max(0, len(spoilt) - 1 - chance.randrange(min(len(spoilt), 4000)))
    if turn < 0.5:
        found = spoilt.find(chance.choice(MARKS), chance.randrange(len(spoilt)))
        return min(len(spoilt) - 1, max(found, 0) + chance.randrange(46))
    return chance.randrange(len(spoilt))


def _flip(spoilt: bytearray, chance: random.Random) -> None:
    spoilt[_place(spoilt, chance)] ^= 1 << chance.randrange(8)


def _write(spoilt: bytearray, chance: random.Random) -> None:
    at = _place(spoilt, chance)
    new = struct.pack("<I", chance.choice(FIELDS))[: chance.choice((1, 2, 4))]
    spoilt[at:at + len(new)] = new


def _cut(spoilt: bytearray, chance: random.Random) -> None:
    at = _place(spoilt, chance)
    del spoilt[at:at + chance.choice((1, 2, 10, 100, 5000))]


def _truncate(spoilt: bytearray, chance: random.Random) -> None:
    del spoilt[_place(spoilt, chance):]


def _repeat(spoilt: bytearray, chance: random.Random) -> None:
    at, length = _place(spoilt, chance), chance.choice((1, 4, 30, 400))
    spoilt[at:at] = spoilt[at:at + length] * chance.choice((1, 2, 50))


def _insert(spoilt: bytearray, chance: random.Random) -> None:
    at = _place(spoilt, chance)
    spoilt[at:at] = chance.choice((chance.randbytes(chance.randrange(1, 40)), *MARKS, b"\x00" * 1000))


def _move(spoilt: bytearray, chance: random.Random) -> None:
    one, other = _place(spoilt, chance), _place(spoilt, chance)
    piece = bytes(spoilt[one:one + 50])
    spoilt[other:other + 50] = piece


SPOTS: tuple[Callable[[bytearray, random.Random], None], ...] = (
    _flip, _flip, _write, _write, _cut, _truncate, _repeat, _insert, _move,
)


# ---------------------------------------------------------------- members


def spoilt_members(parts: Parts, chance: random.Random, pack: Pack) -> bytes:
    """Return an archive in which one or two things are wrong with its members."""
    mixed = dict(parts)
    plain = chance.random() < STORED_SHARE
    for _ in range(chance.choice((1, 1, 2))):
        if not mixed:
            break
        name = one_of(list(mixed), chance)
        kind = chance.randrange(9)
        if kind == 0:
            del mixed[name]
        elif kind == 1:
            mixed[chance.choice(NAMES)] = chance.choice((mixed[name], b"", b"<x/>", chance.randbytes(200)))
        elif kind == 2:
            other = chance.choice(list(mixed))
            mixed[name], mixed[other] = mixed[other], mixed[name]
        elif kind == 3:
            mixed[name] = chance.choice((b"", b" ", mixed[name][: len(mixed[name]) // 2], mixed[name] * 2))
        elif kind == 4:
            mixed = dict(chance.sample(list(mixed.items()), len(mixed)))
        elif kind == 5:
            mixed[chance.choice((name.upper(), f"./{name}", name.replace("/", "//"), f"{name} "))] = (
                mixed.pop(name)
            )
        elif kind == 6:
            mixed[name] = mixed[name].decode("utf-8", "replace").encode(
                chance.choice(("utf-16", "utf-16-le", "utf-32", "cp1252", "utf-7", "utf-8-sig")), "replace"
            )
        elif kind == 7:
            mixed[name] = chance.choice((b"\xef\xbb\xbf", b"\x00", b"<!DOCTYPE x [<!ENTITY a 'b'>]>")) + (
                mixed[name]
            )
        else:
            mixed["xl/extra.bin"] = b"\x00" * chance.choice((10, 100_000, 3_000_000))
    stored = frozenset(name for name in mixed if (chance.random() < 0.1) != plain)
    data = pack(mixed, stored)
    turn = chance.random()
    if turn < 0.1:  # a second member of one name
        data = _twice(mixed, chance, pack)
    elif turn < 0.2:
        data = chance.choice((b"junk", b"PK\x03\x04", b"\xd0\xcf\x11\xe0")) + data
    elif turn < 0.25:
        data += chance.choice((b"junk", b"PK\x05\x06" + b"\x00" * 18, data))
    return data


def _twice(parts: Parts, chance: random.Random, pack: Pack) -> bytes:
    """Return an archive with a second member of one name, told of in the table of contents or not."""
    name = chance.choice(list(parts))
    mask = f"{'#' * len(name)}"
    data = pack({**parts, mask: chance.choice((b"<x/>", parts[name]))}, frozenset())
    if chance.random() < 0.5:
        return data.replace(mask.encode(), name.encode())
    return data.replace(mask.encode(), name.encode(), 1)
