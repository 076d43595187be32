"""Packs archives quickly: what is packed again and again, the parts of a base, is packed once."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Collection

from tests.fuzz.members import Parts

HEAD = struct.Struct("<4s5H3I2H")
ENTRY = struct.Struct("<4s6H3I5H2I")
END = struct.Struct("<4s4H2IH")
STORED, DEFLATED, UTF8 = 0, 8, 0x800
VERSION, DAY = 20, 33
"""The least version of a program that reads it, and 1 January 1980."""


class Packing:
    """What the parts of a base were packed to.

    Parameters
    ----------
    parts : dict of str to bytes
        The base.
    """

    def __init__(self, parts: Parts) -> None:
        self.parts = parts
        self._kept = {id(data): (zlib.crc32(data), deflated(data)) for data in parts.values()}

    def packed(self, parts: Parts, stored: Collection[str] = frozenset()) -> bytes:
        """Return an archive of some parts, `stored` those that are not to be packed smaller.

        Names are written as they are, whatever stands in them.
        """
        pieces: list[bytes] = []
        table: list[bytes] = []
        at = 0
        for name, data in parts.items():
            crc, small = self._kept.get(id(data)) or (zlib.crc32(data), None)
            method = STORED if name in stored else DEFLATED
            body = data if method == STORED else small or deflated(data)
            called = name.encode("utf-8", "surrogatepass")
            flags = 0 if name.isascii() else UTF8
            told = (VERSION, flags, method, 0, DAY, crc, len(body), len(data), len(called))
            head = HEAD.pack(b"PK\x03\x04", *told, 0) + called
            table.append(ENTRY.pack(b"PK\x01\x02", VERSION, *told, 0, 0, 0, 0, 0, at) + called)
            pieces += (head, body)
            at += len(head) + len(body)
        size = sum(map(len, table))
        return b"".join([*pieces, *table, END.pack(b"PK\x05\x06", 0, 0, len(table), len(table), size, at, 0)])


def deflated(data: bytes) -> bytes:
    """Return bytes packed smaller, without a header."""
    packer = zlib.compressobj(1, zlib.DEFLATED, -zlib.MAX_WBITS)
    return packer.compress(data) + packer.flush()
