"""The guard: a returned file is measured and searched before anything in it is believed.

FILE01 cannot be opened: missing, no rights, empty, a folder.
FILE02 not a workbook: another kind of file, or one that is cut short or damaged.
FILE03 encrypted: it needs a password.
FILE04 carries macros or links: anything that runs, or brings numbers from elsewhere.
FILE05 unsafe structure: larger than allowed, or so made that two programs may see two workbooks.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from validators.errors import UnreadableFile, quoted
from validators.file_kinds import (
    TAKE_OUT,
    ZIP_START,
    damaged,
    name_other_archive,
    name_other_file,
    unsafe,
)
from validators.package import content_types, relationships
from validators.zip_members import read_members

XML_ENDINGS = (".xml", ".rels", ".vml")
WIDE_MARKS = (b"\xff\xfe", b"\xfe\xff", b"\x00\x00\xfe\xff")
DECLARATION_BYTES = 512
ENCODING = re.compile(rb"encoding\s*=\s*[\"']([^\"']*)")
DOCUMENT_TYPE = re.compile(rb"<!(?:DOCTYPE|ENTITY)", re.IGNORECASE)
CARRIED = (
    ("macros", re.compile(r"vbaproject|vbadata|macrosheet|dialogsheet|macroenabled")),
    ("links to other workbooks", re.compile(r"externallink")),
    ("embedded objects", re.compile(r"embeddings/|oleobject|relationships/package$")),
    ("active controls", re.compile(r"activex|relationships/control$")),
    ("connections to outside data", re.compile(r"(?:^|/)connections(?:\.xml|$)|connections\+xml")),
    ("queries of outside data", re.compile(r"querytable")),
    ("live data links", re.compile(r"volatiledependenc")),
)
SINGLE_TYPES = re.compile(
    r"spreadsheetml\.(?:sheet\.main|template\.main|sharedstrings|styles)\+xml$"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """How much of everything a returned workbook may hold.

    The defaults leave room for a sheet ten times the largest that is issued. `markup` counts
    opening and closing tags, and attributes, of all parts together.
    """

    file_bytes: int = 20_000_000
    entries: int = 300
    part_bytes: int = 30_000_000
    total_bytes: int = 60_000_000
    ratio: int = 100
    ratio_above_bytes: int = 1_000_000
    markup: int = 1_500_000
    cells: int = 200_000
    last_row: int = 20_000
    last_column: int = 702
    text_characters: int = 32_767
    formula_characters: int = 8_192
    shared_formula_characters: int = 1_000_000


@dataclass(slots=True)
class Used:
    """How much of the limits of a whole workbook is used up while it is read."""

    cells: int = 0
    shared_formula_characters: int = 0


@dataclass(frozen=True, slots=True)
class Container:
    """A guarded file: its digest, and its XML parts and all content types by lower-case name."""

    digest: str
    parts: dict[str, bytes]
    types: dict[str, str]


def open_container(path: Path | str, limits: Limits | None = None) -> Container:
    """Read a file, once, and guard what it holds.

    Parameters
    ----------
    path : path or str
        The returned file.
    limits : Limits, optional
        How much of everything is allowed.

    Raises
    ------
    UnreadableFile
        FILE01 to FILE05.
    """
    limits = limits or Limits()
    return guard(read_once(path, limits), limits)


def read_once(path: Path | str, limits: Limits) -> bytes:
    """Return the bytes of a file, and not many more than allowed.

    Raises
    ------
    UnreadableFile
        FILE01 when it cannot be opened.
    """
    path = Path(path)
    try:
        if path.is_dir():
            raise _cannot_open("a folder", "Name the workbook itself.")
        if path.exists() and not path.is_file():
            raise _cannot_open("something that is not a file", "Name the workbook itself.")
        with path.open("rb") as file:
            return file.read(limits.file_bytes + 1)
    except FileNotFoundError as fault:
        raise _cannot_open("no file of this name", "Check the name of the file.") from fault
    except PermissionError as fault:
        raise _cannot_open(
            "a file that may not be read",
            "Close it where it is open, or ask for the right to read it.",
        ) from fault
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or str(fault)
        raise _cannot_open(f"a file that cannot be read ({reason})", "Copy it again.") from fault


def guard(data: bytes, limits: Limits | None = None) -> Container:
    """Check the bytes of a file and return its XML parts.

    Parameters
    ----------
    data : bytes
        The whole file.
    limits : Limits, optional
        How much of everything is allowed.

    Raises
    ------
    UnreadableFile
        FILE01 (empty) to FILE05.
    """
    limits = limits or Limits()
    if not data:
        raise _cannot_open("an empty file", "Send the file again: this copy holds nothing.")
    if not data.startswith(ZIP_START):
        raise name_other_file(data)
    if len(data) > limits.file_bytes:
        most = f"a file of at most {limits.file_bytes / 1e6:.0f} MB"
        raise unsafe("a very large file", most, TAKE_OUT)
    members = read_members(data, limits, name_other_archive)
    parts = xml_parts(members, limits)
    defaults, overrides = content_types(parts)
    types = {
        name: overrides.get(name, defaults.get(name.rsplit(".", 1)[-1], ""))
        for name in map(str.lower, members)
    }
    _check_carried(types, parts, {name.lower(): name for name in members})
    _check_folders(members)
    return Container(hashlib.sha256(data).hexdigest(), parts, types)


def xml_parts(members: Mapping[str, bytes], limits: Limits) -> dict[str, bytes]:
    """Return the XML parts of a package by lower-case name, once they are found safe to parse.

    Raises
    ------
    UnreadableFile
        FILE05 an unusual encoding, a document type, or far too much markup.
    """
    parts = {name.lower(): text for name, text in members.items() if name.lower().endswith(XML_ENDINGS)}
    for name, text in parts.items():
        _check_encoding(name, text)
    for mark, what in ((b"<", "tags"), (b"=", "attributes")):
        if sum(text.count(mark) for text in parts.values()) > limits.markup:
            raise unsafe(f"far too many {what}", f"at most {limits.markup} {what}", TAKE_OUT)
    return parts


def carries(what: Iterable[str]) -> UnreadableFile:
    """Return the exception of a workbook that runs something or brings numbers from elsewhere."""
    return UnreadableFile(
        "FILE04",
        ", ".join(what),
        "a workbook without macros, links and outside data",
        "Type the readings into the workbook as it was sent, without linking it to anything, "
        "and send that.",
    )


def _cannot_open(found: str, todo: str) -> UnreadableFile:
    return UnreadableFile("FILE01", found, "a workbook that can be opened", todo)


def _check_encoding(name: str, text: bytes) -> None:
    if text.startswith(WIDE_MARKS) or b"\x00" in text:
        raise unsafe(f"a part in UTF-16 or UTF-32, {quoted(name)}", "parts in UTF-8")
    if text.removeprefix(b"\xef\xbb\xbf").startswith(b"<?xml"):
        end = text.find(b"?>", 0, DECLARATION_BYTES)
        declared = ENCODING.search(text, 0, end) if end >= 0 else None
        if end < 0 or (declared and declared[1].lower() != b"utf-8"):
            raise unsafe(f"a part in an unusual encoding, {quoted(name)}", "parts in UTF-8")
    if not text.isascii():
        try:
            text.decode("utf-8")
        except UnicodeDecodeError as fault:
            raise unsafe(f"a part not in UTF-8, {quoted(name)}", "parts in UTF-8") from fault
    if DOCUMENT_TYPE.search(text):
        raise unsafe(f"a document type or an entity in {quoted(name)}", "parts without either")


def _check_folders(members: Iterable[str]) -> None:
    """Refuse folders whose names differ in capitals only: to some programs they are one."""
    spelt: dict[str, str] = {}
    for name in members:
        folder = name.rpartition("/")[0]
        while folder:
            if spelt.setdefault(folder.lower(), folder) != folder:
                raise unsafe(f"a folder whose name is spelt in two ways, {quoted(folder)}")
            folder = folder.rpartition("/")[0]


def _check_carried(types: Mapping[str, str], parts: Mapping[str, bytes], spelt: Mapping[str, str]) -> None:
    signs: list[str] = []
    single: set[str] = set()
    for name, kind in types.items():
        signs += [name, kind]
        if SINGLE_TYPES.search(kind):
            serves = kind.replace("template.main", "sheet.main")
            if serves in single:
                raise unsafe(f"two parts of one kind, the second {quoted(name)}")
            single.add(serves)
        if name.endswith(".rels"):
            signs += _outside_references(name, parts, spelt)
    found = [what for what, sign in CARRIED if any(sign.search(text) for text in signs)]
    if found:
        raise carries(found)


def _outside_references(name: str, parts: Mapping[str, bytes], spelt: Mapping[str, str]) -> list[str]:
    """Return the types of a part's references; refuse what leads out, except hyperlinks.

    A part that is called in other capitals than it is named in is found by some programs only.
    """
    folder, _, source = name.rpartition("_rels/")
    if not source:
        raise damaged(f"its part {quoted(name)} is not where it should be")
    kinds = []
    for reference in relationships(parts, folder + source.removesuffix(".rels")).values():
        there = "" if reference.external else spelt.get(reference.target, "")
        if there and not there.endswith(reference.spelt):
            raise unsafe(f"a part whose name is spelt in two ways, {quoted(there)}")
        if reference.external and reference.kind != "hyperlink":
            raise carries([f"a link to {quoted(reference.target)}"])
        kinds.append(f"relationships/{reference.kind.lower()}")
    return kinds
