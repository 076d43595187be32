"""The keyed digest of a birth record: what only somebody with the shop's key can write.

A digest alone says that a record is whole; whoever writes a new record writes a new digest with it.  The
keyed digest (HMAC-SHA-256, RFC 2104) cannot be made without the key.  The key stays in a file of the shop's:
it is in no workbook, no report and no message.
"""

from __future__ import annotations

import hashlib
import hmac
import os
import re
import secrets
from pathlib import Path

from sheetgen.errors import DefinitionError
from sheetgen.plan import Plan

SEAL, KEY_MARK = "keyed digest", "shop key"
"""Rows of the birth record."""

SealRow = tuple[str, str]
KEY_BYTES = 32
MOST_IN_FILE = 1000
WORDS = re.compile(rb"[0-9a-f]{64}")
WANTED = f"{2 * KEY_BYTES} hexadecimal digits on one line, as 'boreledger key' writes them"
PURPOSE = b"boreledger birth record, keyed digest 1\n"
NAMING = b"boreledger shop key, mark 1\n"
MARK_LENGTH = 8


class ShopKey:
    """A shop's key; what it is never shows in a message."""

    __slots__ = ("_key",)

    def __init__(self, key: bytes) -> None:
        if len(key) != KEY_BYTES:
            raise ValueError(f"a key has {KEY_BYTES} bytes")
        self._key = key

    def __repr__(self) -> str:
        return f"ShopKey({self.mark})"

    def __reduce__(self) -> tuple[type[ShopKey], tuple[bytes]]:
        return ShopKey, (self._key,)

    @property
    def mark(self) -> str:
        """A short name that tells keys apart and gives nothing of the key away."""
        return hmac.new(self._key, NAMING, hashlib.sha256).hexdigest()[:MARK_LENGTH]

    def digest(self, plan: Plan) -> str:
        """Return the keyed digest of what a workbook is written from."""
        told = f"{plan.version}\n{plan.digest}\n{plan.build.as_text()}"
        return hmac.new(self._key, PURPOSE + told.encode(), hashlib.sha256).hexdigest()

    def fits(self, plan: Plan, digest: str) -> bool:
        """Return whether a keyed digest is the one of this key and plan."""
        return hmac.compare_digest(self.digest(plan).encode(), digest.strip().lower().encode())


def seal_rows(plan: Plan, key: ShopKey | None) -> list[SealRow]:
    """Return what a birth record says of the keyed digest; nothing without a key."""
    return [] if key is None else [(KEY_MARK, key.mark), (SEAL, key.digest(plan))]


def read_key(path: Path) -> ShopKey:
    """Read a shop's key.

    Raises
    ------
    DefinitionError
        The file cannot be read or holds no key; what it holds is not said.
    """
    try:
        with path.open("rb") as stream:
            text = stream.read(MOST_IN_FILE).strip().lower()
    except OSError as error:
        raise DefinitionError(str(path), f"the key cannot be read ({error.strerror})") from None
    if not WORDS.fullmatch(text):
        raise DefinitionError(str(path), f"this is no shop key; a key is {WANTED}")
    return ShopKey(bytes.fromhex(text.decode()))


def write_key(path: Path) -> ShopKey:
    """Write a new key that only its owner may read; an existing file is never overwritten.

    Raises
    ------
    DefinitionError
        There is a file of that name, or it cannot be written.
    """
    key = secrets.token_bytes(KEY_BYTES)
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "w", encoding="ascii") as stream:
            stream.write(key.hex() + "\n")
    except FileExistsError:
        raise DefinitionError(str(path), "there is a file of this name; it is not overwritten") from None
    except OSError as error:
        raise DefinitionError(str(path), f"it cannot be written ({error.strerror})") from None
    return ShopKey(key)
