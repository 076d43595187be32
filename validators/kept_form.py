"""What came of one file as lines of JSON, and back: none of it can run, and damage shows.

The first line says what it is the record of; then one line each for what the report says of the file, its
findings, its verdicts, its entries and its results, so that a reader unpacks no more than it asks for. A line
begins with the digest of the rest of it.
"""

from __future__ import annotations

import gzip
import hashlib
import io
import json
import math
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import fields
from datetime import datetime
from pathlib import Path
from typing import Any, BinaryIO

from validators.contents import Contents, Outcome
from validators.findings import Finding, Place, Severity, SheetReport, Status, Verdict
from validators.pile import name_in_report

SHAPE, VERSION = "boreledger kept result", 1
LONGEST_LINE = 30_000_000
PACKED_QUICKLY = 1
TEXTS = tuple(
    f.name for f in fields(SheetReport)
    if f.name not in ("file", "status", "findings", "verdicts", "results")
)
FINDING = ("code", "name", "quantity", "found", "expected", "todo")
VERDICT_TEXTS = ("name", "label", "unit", "origin", "word", "key", "title")
VERDICT_NUMBERS = ("value", "lower", "upper", "guard")


def to_record(outcome: Outcome, key: str) -> bytes | None:
    """Return the record of what came of a file.

    None where another run may come to something else, where a finding stands elsewhere than in the file
    itself, and where something cannot be said in JSON.
    """
    report, contents = outcome.report, outcome.contents
    name = Path(report.file).name
    places = [told.place for told in report.findings] + [told.place for told in report.verdicts]
    if not outcome.lasts or any(place.file != name for place in places):
        return None
    about = {text: getattr(report, text) for text in TEXTS}
    lines = (
        {"shape": SHAPE, "version": VERSION, "key": key}, [str(report.status), about],
        list(map(_finding, report.findings)), list(map(_verdict, report.verdicts)),
        [] if contents is None else _contents(contents), dict(report.results),
    )
    packed = io.BytesIO()
    with gzip.GzipFile(fileobj=packed, mode="wb", compresslevel=PACKED_QUICKLY, mtime=0) as stream:
        for line in lines:
            try:
                text = json.dumps(line, separators=(",", ":"), allow_nan=False).encode()
            except (TypeError, ValueError):
                return None
            stream.write(f"{_digest(text)} ".encode() + text + b"\n")
    return packed.getvalue()


class Record:
    """A record that is read line by line, as far as it is asked for.

    Parameters
    ----------
    stream : binary stream
        The record.
    key : str
        What it should be the record of.
    place : str
        Where the file is now.

    Raises
    ------
    ValueError
        It is damaged, or the record of something else. So do all that read on in it.
    """

    def __init__(self, stream: BinaryIO, key: str, place: str) -> None:
        self._lines = _lines(stream)
        self.file = name_in_report(place)
        self._name = Path(place).name
        if self._next(dict) != {"shape": SHAPE, "version": VERSION, "key": key}:
            raise ValueError("the record of something else")
        status, about = self._next(list)
        self._status = Status(status)
        if set(about) != set(TEXTS):
            raise ValueError("another shape")
        self._about = {name: _is(text, str) for name, text in about.items()}

    def report(self) -> SheetReport:
        """Return what is said of the file, without its results."""
        findings = tuple(self._finding(told) for told in self._next(list))
        verdicts = tuple(self._verdict(told) for told in self._next(list))
        return SheetReport(
            file=self.file, status=self._status, findings=findings, verdicts=verdicts, **self._about
        )

    def contents(self) -> Contents | None:
        """Return what was typed into it, if it could be read; to be asked for after the report."""
        told = self._next(list)
        if not told:
            return None
        read, entries = told
        modified = read["modified"]
        return Contents(
            build=_is(read["build"], str), plan=_is(read["plan"], str),
            entries=tuple(_is(entry, str, float, int, bool, type(None)) for entry in entries),
            moved={
                entry: (_is(sheet, str), _is(cell, str)) for entry, (sheet, cell) in read["moved"].items()
            },
            modified=None if modified is None else datetime.fromisoformat(modified),
        )

    def contents_alone(self) -> Contents | None:
        """Return what was typed into it; what the report says is passed over."""
        for _ in ("findings", "verdicts"):
            next(self._lines, None)
        return self.contents()

    def results(self) -> Mapping[str, float | str | None]:
        """Return its results; to be asked for after the contents."""
        results = self._next(dict)
        for value in results.values():
            _is(value, str, float, int, type(None))
        return results

    def _next(self, kind: type) -> Any:
        try:
            return _is(json.loads(next(self._lines, b"null"), parse_constant=_refuse), kind)
        except RecursionError as fault:
            raise ValueError("a damaged record") from fault

    def _finding(self, told: list[Any]) -> Finding:
        texts, severity, place, holds_up = told
        return Finding(
            **dict(zip(FINDING, _texts(texts), strict=True)), severity=Severity(severity),
            place=Place(file=self._name, **dict(zip(("sheet", "cell", "label"), _texts(place), strict=True))),
            holds_up=_texts(holds_up),
        )

    def _verdict(self, line: list[Any]) -> Verdict:
        texts, numbers, decimals, place = line
        values: list[Any] = [_is(number, float, int, type(None)) for number in numbers]
        told = dict(zip((*VERDICT_TEXTS, *VERDICT_NUMBERS), (*_texts(texts), *values), strict=True))
        return Verdict(
            **told, decimals=_is(decimals, int),
            place=Place(file=self._name, **dict(zip(("sheet", "cell", "label"), _texts(place), strict=True))),
        )


def _contents(contents: Contents) -> list[Any]:
    read = {
        "build": contents.build, "plan": contents.plan,
        "modified": contents.modified.isoformat() if contents.modified else None,
        "moved": {entry: list(place) for entry, place in contents.moved.items()},
    }
    return [read, list(contents.entries)]


def _finding(finding: Finding) -> list[Any]:
    texts = [getattr(finding, name) for name in FINDING]
    return [texts, str(finding.severity), _place(finding.place), list(finding.holds_up)]


def _verdict(verdict: Verdict) -> list[Any]:
    texts = [getattr(verdict, name) for name in VERDICT_TEXTS]
    numbers = [getattr(verdict, name) for name in VERDICT_NUMBERS]
    return [texts, numbers, verdict.decimals, _place(verdict.place)]


def _place(place: Place) -> list[str]:
    return [place.sheet, place.cell, place.label]


def _lines(stream: BinaryIO) -> Iterator[bytes]:
    """Yield the lines of a record, each as it was written."""
    try:
        with gzip.GzipFile(fileobj=stream) as unpacked:
            while line := unpacked.readline(LONGEST_LINE):
                digest, _, text = line.rstrip(b"\n").partition(b" ")
                if digest.decode("ascii") != _digest(text):
                    raise ValueError("a damaged line")
                yield text
    except (EOFError, OSError, zlib.error) as fault:
        raise ValueError("a damaged record") from fault


def _digest(text: bytes) -> str:
    return hashlib.sha256(text).hexdigest()


def _refuse(text: str) -> float:
    raise ValueError(f"{text} is not a number")


def _texts(values: Any) -> tuple[str, ...]:
    return tuple(_is(value, str) for value in _is(values, list))


def _is(value: Any, *kinds: type) -> Any:
    if type(value) not in kinds or (isinstance(value, float) and not math.isfinite(value)):
        raise ValueError("another shape")
    return value
