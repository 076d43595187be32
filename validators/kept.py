"""Results of finished files in a folder, so that a run that was stopped goes on where it was.

One record for each file that was checked, named by a digest of all that decides the result: the file's bytes
and name, the limits, what was issued, the program and the libraries it computes with. What is changed has
another name, and is checked again. A record is believed only when it is whole, when it is the record of what
it is named for, and when it belongs to whoever runs the program and nobody else may write it.
"""

from __future__ import annotations

import hashlib
import importlib.metadata
import json
import logging
import os
import platform
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import asdict, replace
from functools import cache
from pathlib import Path

import sheetgen
from sheetgen.errors import DefinitionError
from sheetgen.sources import TEMPLATES
from sheetgen.user_cache import is_ours
from validators.ceilings import RunLimits
from validators.contents import Contents, Outcome
from validators.findings import SheetReport
from validators.issued import Issued
from validators.kept_form import SHAPE, VERSION, Record, to_record
from validators.pile import Piece

LOG = logging.getLogger("boreledger")
MARK = "boreledger-kept.json"
PART = ".boreledger-"
SECONDS_LEFT_OVER = 3600
"""A part of a record that is older was left by a run that was killed."""

ENDING = ".jsonl.gz"
COMPUTES_WITH = ("formulas", "schedula", "numpy", "lxml", "openpyxl", "pint")
SOURCES = (".py", ".toml", ".csv")
DAMAGED = (OSError, ValueError, TypeError, KeyError, AttributeError)
"""What reading a record may raise; it is then as if there were none."""


class Kept:
    """The folder in which results are kept.

    Parameters
    ----------
    folder : Path
        It is made if there is none.
    settings : str
        Digest of what decides a result besides the file, as `settings_digest` gives it.

    Raises
    ------
    DefinitionError
        It cannot be used, or holds something else.
    """

    def __init__(self, folder: Path, settings: str) -> None:
        self.folder, self._settings = folder, settings
        self.found = self.added = 0
        try:
            folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            if not (folder / MARK).is_file():
                if any(folder.iterdir()):
                    why = "there is something else in it; results are kept in a folder of their own"
                    raise DefinitionError(str(folder), why)
                self._write(folder / MARK, json.dumps({"shape": SHAPE, "version": VERSION}).encode() + b"\n")
            for part in folder.glob(f"{PART}*"):
                if time.time() - part.stat().st_mtime > SECONDS_LEFT_OVER:
                    part.unlink(missing_ok=True)
        except OSError as fault:
            raise _no_room(folder, fault) from None

    def key(self, piece: Piece) -> str:
        """Return what the result of a file is kept under; "" where there is nothing to keep."""
        if piece.fault is not None:
            return ""
        name = Path(piece.place).name.encode("utf-8", "surrogatepass")
        told = b"\n".join((self._settings.encode(), hashlib.sha256(piece.data).digest(), name))
        return hashlib.sha256(told).hexdigest()

    def path(self, key: str) -> Path:
        """Return where the record of a key stands."""
        return self.folder / key[:2] / f"{key}{ENDING}"

    def find(self, piece: Piece) -> tuple[Outcome, str, Path] | None:
        """Return what came of a file in an earlier run, its key, and where it is kept."""
        key = self.key(piece)
        if not key:
            return None
        path = self.path(key)
        try:
            outcome = read_whole(path, key, piece.place)
        except FileNotFoundError:
            return None
        except DAMAGED as fault:
            LOG.debug("%s is not used: %s", path, fault)
            return None
        self.found += 1
        return outcome, key, path

    def keep(self, piece: Piece, outcome: Outcome) -> tuple[str, Path] | None:
        """Keep what came of a file; return its key and where, None if it is not worth keeping.

        Raises
        ------
        DefinitionError
            It cannot be written.
        """
        key = self.key(piece)
        record = to_record(outcome, key) if key else None
        if record is None:
            return None
        path = self.path(key)
        try:
            path.parent.mkdir(exist_ok=True, mode=0o700)
            self._write(path, record)
        except OSError as fault:
            raise _no_room(self.folder, fault) from None
        self.added += 1
        return key, path

    def _write(self, path: Path, content: bytes) -> None:
        handle, name = tempfile.mkstemp(dir=self.folder, prefix=PART, suffix=".part")
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(content)
            Path(name).replace(path)
        finally:
            with suppress(OSError):
                Path(name).unlink(missing_ok=True)


def read_whole(path: Path, key: str, place: str) -> Outcome:
    """Read a record.

    Raises
    ------
    OSError, ValueError, TypeError, KeyError, AttributeError
        It is not there, damaged, another's, or the record of something else.
    """
    with _opened(path, key, place) as record:
        report, contents = record.report(), record.contents()
        return Outcome(replace(report, results=record.results()), contents)


def read_report(path: Path, key: str, place: str) -> SheetReport:
    """Read what a record says of a file, without its results; it raises what `read_whole` does."""
    with _opened(path, key, place) as record:
        return record.report()


def read_contents(path: Path, key: str, place: str) -> Contents | None:
    """Read what was typed into a file, without what is said of it; it raises what `read_whole` does."""
    with _opened(path, key, place) as record:
        return record.contents_alone()


@contextmanager
def _opened(path: Path, key: str, place: str) -> Iterator[Record]:
    with path.open("rb") as stream:
        if not is_ours(os.fstat(stream.fileno())):
            raise ValueError("the record belongs to somebody else")
        yield Record(stream, key, place)


def settings_digest(limits: RunLimits, issued: Issued | None) -> str:
    """Return a digest of what decides a result besides the file itself.

    Where a file's date has no zone it is local time, so that the zone is part of it.
    """
    compared = None if issued is None else {
        "files": [[file.place, file.plan, file.job, dict(file.entries)] for file in issued.files],
        "key": issued.key.mark if issued.key else None,
    }
    told = [
        VERSION, edition_digest(), time.tzname,
        asdict(limits.pile.workbook), asdict(limits.ceilings), compared,
    ]
    return hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()


@cache
def edition_digest() -> str:
    """Return a digest of the program, of Python and of the libraries that it computes with."""
    versions = {name: importlib.metadata.version(name) for name in COMPUTES_WITH}
    told = [program_digest(), platform.python_version(), versions]
    return hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()


def program_digest() -> str:
    """Return a digest of the program's own files."""
    digest = hashlib.sha256()
    for path in _sources():
        digest.update(hashlib.sha256(path.read_bytes()).digest())
    return digest.hexdigest()


def _sources() -> Iterator[Path]:
    for folder in (Path(sheetgen.__file__).parent, Path(__file__).parent, TEMPLATES):
        yield from sorted(path for path in folder.rglob("*") if path.suffix in SOURCES)


def _no_room(folder: Path, fault: OSError) -> DefinitionError:
    why = "a record that is there is whole, and a run with the same folder goes on from it"
    return DefinitionError(str(folder), f"results cannot be kept here ({fault.strerror}); {why}")
