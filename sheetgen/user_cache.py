"""What is kept between runs in the user's cache folder: plain JSON, whole or not at all; nothing that runs.

A file is believed when it is whole, when it was made from what it is asked for, and when it belongs to
whoever runs the program and nobody else may write it. Otherwise it is as if there were none, and a folder
that cannot be written costs time only.
"""

from __future__ import annotations

import hashlib
import json
import os
import stat
import tempfile
import time
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path
from typing import Any

LARGEST_FILE = 40_000_000
MOST_OF_A_KIND = 40
"""So many files of one kind are kept: an odd engine more costs a little time, not a full disk. Those of
another edition of the program make room first."""

UNUSED_SECONDS = 30 * 86_400
"""A file that was not used for so long makes room for another."""

USED_EACH = 86_400
"""A file in use is marked as used so often."""

_FOLDER_VARIABLE = "BORELEDGER_CACHE"


def cache_folder() -> Path | None:
    """Return the folder: the environment's, or the user's cache folder.

    The environment variable ``BORELEDGER_CACHE`` names another folder; set to nothing it says that
    nothing is to be kept.
    """
    named = os.environ.get(_FOLDER_VARIABLE)
    if named is not None:
        return Path(named) if named else None
    from platformdirs import user_cache_dir  # not needed when the folder is named

    return Path(user_cache_dir("boreledger", appauthor=False))


def is_ours(state: os.stat_result) -> bool:
    """Return whether a file is the user's own, and nobody else may write it, where that can be told."""
    user = getattr(os, "geteuid", None)
    return user is None or (state.st_uid == user() and not state.st_mode & (stat.S_IWGRP | stat.S_IWOTH))


def write_whole(path: Path, content: bytes) -> None:
    """Write a file beside its place and move it there.

    Raises
    ------
    OSError
        It cannot be written; nothing is left of it.
    """
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=path.name, suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        Path(name).replace(path)
    except OSError:
        Path(name).unlink(missing_ok=True)
        raise


def digest_of(told: Iterable[str | bytes]) -> str:
    """Return a digest over parts, none of which can be taken for another's."""
    digest = hashlib.sha256()
    for part in told:
        data = part.encode() if isinstance(part, str) else part
        digest.update(b"%d\n" % len(data) + data)
    return digest.hexdigest()


class Keeping:
    """One file of the cache folder.

    Parameters
    ----------
    kind : str
        What it holds; files of a kind are counted.
    key : str
        Digest of all that it was made from.
    edition : str
        Digest of the program that made it: files of another make room first.
    """

    def __init__(self, kind: str, key: str, edition: str) -> None:
        folder = cache_folder()
        self._kind, self._key = kind, key
        self._ours = f"{kind}-{edition[:8]}-"
        self._path = None if folder is None else folder / f"{self._ours}{key[:32]}.json"

    def load(self) -> Any:
        """Return what is kept, None when there is nothing that can be believed."""
        if self._path is None:
            return None
        try:
            with self._path.open("rb") as file:
                state = os.fstat(file.fileno())
                if state.st_size > LARGEST_FILE or not is_ours(state):
                    return None
                head, _, body = file.read(LARGEST_FILE).partition(b"\n")
            if head != self._head(body):
                return None
            if time.time() - state.st_mtime > USED_EACH:
                os.utime(self._path)
            return json.loads(body, parse_constant=_refuse)
        except (OSError, ValueError, RecursionError):
            return None

    def save(self, data: object) -> None:
        """Keep something, where there is room for it."""
        if self._path is None:
            return
        body = json.dumps(data, separators=(",", ":")).encode()
        with suppress(OSError):
            self._path.parent.mkdir(parents=True, exist_ok=True)
            if len(body) < LARGEST_FILE and self._room():
                write_whole(self._path, self._head(body) + b"\n" + body)

    def _head(self, body: bytes) -> bytes:
        return f"{self._key} {hashlib.sha256(body).hexdigest()}".encode()

    def _room(self) -> bool:
        assert self._path is not None
        others = [path for path in self._path.parent.glob(f"{self._kind}-*.json") if path != self._path]
        if len(others) < MOST_OF_A_KIND:
            return True
        foreign = [path for path in others if not path.name.startswith(self._ours)]
        oldest = min(foreign or others, key=lambda path: path.stat().st_mtime)
        if not foreign and time.time() - oldest.stat().st_mtime < UNUSED_SECONDS:
            return False
        oldest.unlink(missing_ok=True)
        return True


def _refuse(text: str) -> float:
    raise ValueError(f"{text} is not a number")
