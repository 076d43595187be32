"""Opens a returned workbook: the guard, then one pass over each part; nothing is ever saved."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, get_args

from lxml import etree
from openpyxl.utils.datetime import MAC_EPOCH, WINDOWS_EPOCH

from validators.container import Container, Limits, carries, guard, read_once
from validators.errors import UnreadableFile, quoted
from validators.file_kinds import damaged, unsafe
from validators.formula_text import reach_outside
from validators.open_document import is_open_document, read_open_document
from validators.package import (
    OFFICE_RELATIONSHIPS,
    Relationship,
    main_namespace,
    parse_part,
    related,
    relationships,
)
from validators.plain_rows import cut_out, cut_rows
from validators.returned_sheet import (
    CellFormat,
    Frame,
    Kind,
    ReturnedCell,
    ReturnedSheet,
    ReturnedValidation,
    Visibility,
)
from validators.returned_workbook import CoreProperties, ReturnedWorkbook
from validators.shared_parts import is_true, read_formats, read_texts
from validators.sheet_cells import INDEX, Known, SharedTables, strict_number
from validators.sheet_part import read_frame, read_plain_sheet, read_sheet

__all__ = [
    "CellFormat",
    "CoreProperties",
    "Kind",
    "ReturnedCell",
    "ReturnedSheet",
    "ReturnedValidation",
    "ReturnedWorkbook",
    "Visibility",
    "open_returned",
    "read_returned",
]

WORKBOOK_PART = "xl/workbook.xml"
VISIBILITIES = get_args(Visibility)
DUBLIN_CORE = "{http://purl.org/dc/elements/1.1/}"
CORE = "{http://schemas.openxmlformats.org/package/2006/metadata/core-properties}"
TERMS = "{http://purl.org/dc/terms/}"
TRUTHS = {"true": True, "1": True, "false": False, "0": False}


FOOTER = re.compile(rb"(<oddFooter>)(?:[ -%'-;=-\\^-~]|&(?:amp|lt|gt|quot|apos);)*(?=</oddFooter>)")
"""The text of a footer, where it holds nothing but plain characters."""

MOST_REMEMBERED, LONGEST_REMEMBERED = 8, 4_000_000


@dataclass(frozen=True, slots=True)
class _Names:
    everywhere: dict[str, str]
    hidden: frozenset[str]
    by_sheet: tuple[dict[str, str], ...]


_formats: dict[tuple[bytes, Limits], tuple[dict[str, CellFormat], Known]] = {}
_names: dict[tuple[bytes, int], _Names] = {}


def open_returned(path: Path | str, limits: Limits | None = None) -> ReturnedWorkbook:
    """Return what a returned workbook holds. The file is read once and never written.

    Parameters
    ----------
    path : path or str
        The file as it came back.
    limits : Limits, optional
        How much of everything is allowed.

    Raises
    ------
    UnreadableFile
        FILE01 to FILE05; nothing else, whatever the file holds.
    """
    limits = limits or Limits()
    return read_returned(read_once(path, limits), Path(path), limits)


def read_returned(data: bytes, path: Path, limits: Limits | None = None) -> ReturnedWorkbook:
    """Return what a workbook holds whose bytes are at hand, as from an archive or a mail.

    An OpenDocument spreadsheet comes out as the .xlsx workbook that it was saved from would.

    Parameters
    ----------
    data : bytes
        The whole file.
    path : Path
        What to call it.
    limits : Limits, optional
        How much of everything is allowed.

    Raises
    ------
    UnreadableFile
        FILE01 (empty) to FILE05.
    """
    limits = limits or Limits()
    if is_open_document(data):
        return read_open_document(data, path, limits)
    container = guard(data, limits)
    package = relationships(container.parts, "")
    if related(package, "officeDocument") != WORKBOOK_PART:
        raise damaged("nothing in it leads to its workbook part")
    data = container.parts.get(WORKBOOK_PART, b"")
    root, own_part = _without_names(data) or (parse_part(container.parts, WORKBOOK_PART), b"")
    namespace = main_namespace(root, "workbook", WORKBOOK_PART)
    references = relationships(container.parts, WORKBOOK_PART)
    settings = root.find(f"{namespace}workbookPr")
    from_1904 = settings is not None and is_true(settings.get("date1904"))
    listed = root.findall(f"{namespace}sheets/{namespace}sheet")
    names = _known_names(root, namespace, len(listed), own_part)
    tables = _shared_tables(container, references, limits, from_1904=from_1904)
    return ReturnedWorkbook(
        path=path,
        digest=container.digest,
        sheets=_read_sheets(container, listed, references, tables, names),
        names=names.everywhere,
        hidden_names=names.hidden,
        custom=_custom_properties(container.parts, package),
        core=_core_properties(container.parts, package),
        counts_from_1904=from_1904,
    )


def _shared_tables(
    container: Container,
    references: Mapping[str, Relationship],
    limits: Limits,
    *,
    from_1904: bool,
) -> SharedTables:
    texts: list[str] = []
    formats, known = {"0": CellFormat()}, Known()
    part = related(references, "sharedStrings")
    if part is not None:
        root = _typed_part(container, part, "sharedstrings+xml")
        texts = read_texts(root, main_namespace(root, "sst", part), limits)
    part = related(references, "styles")
    if part is not None:
        formats, known = _known_formats(container, part, limits)
    epoch = MAC_EPOCH if from_1904 else WINDOWS_EPOCH
    return SharedTables(texts=texts, formats=formats, limits=limits, epoch=epoch, known=known)


def _known_formats(
    container: Container, part: str, limits: Limits
) -> tuple[dict[str, CellFormat], Known]:
    """Return the formats, and what is known of cells that have them; equal parts are read once."""
    ending = "styles+xml"
    key = container.parts.get(part, b""), limits
    found = _formats.get(key)
    if found is None:
        root = _typed_part(container, part, ending)
        found = read_formats(root, main_namespace(root, "styleSheet", part)), Known()
        _remember(_formats, key, found, len(key[0]))
    _check_type(container, part, ending)
    return found


def _remember(memory: dict[Any, Any], key: object, found: object, size: int) -> None:
    """Keep what was read of a part for equal parts of workbooks to come: little, and not for long."""
    if size <= LONGEST_REMEMBERED:
        if len(memory) >= MOST_REMEMBERED:
            memory.clear()
        memory[key] = found


def _typed_part(container: Container, part: str, ending: str) -> etree._Element:
    """Return the root of a part whose content type says what its reference says."""
    root = parse_part(container.parts, part)
    _check_type(container, part, ending)
    return root


def _check_type(container: Container, part: str, ending: str) -> None:
    if not container.types[part].endswith(ending):
        raise unsafe(f"a part described in two different ways, {quoted(part)}")


def _read_sheets(
    container: Container,
    listed: list[etree._Element],
    references: Mapping[str, Relationship],
    tables: SharedTables,
    names: _Names,
) -> tuple[ReturnedSheet, ...]:
    sheets: list[ReturnedSheet] = []
    titles: set[str] = set()
    parts: set[str] = set()
    for element, own_names in zip(listed, names.by_sheet, strict=True):
        title = element.get("name", "")
        state = element.get("state", "visible")
        identifiers = (element.get(f"{{{namespace}}}id") for namespace in OFFICE_RELATIONSHIPS)
        reference = references.get(next(filter(None, identifiers), ""))
        if not title or state not in VISIBILITIES or reference is None:
            raise damaged(f"its sheet {quoted(title)} is listed wrongly")
        if title.casefold() in titles or reference.target in parts:
            raise unsafe(f"a sheet that is there twice, {quoted(title)}")
        titles.add(title.casefold())
        parts.add(reference.target)
        word = "chartsheet" if reference.kind == "chartsheet" else "worksheet"
        about = {"title": title, "visible": state, "names": own_names}
        sheets.append(_read_part(container, reference.target, word, tables, about))
    return tuple(sheets)


def _read_part(
    container: Container, part: str, word: str, tables: SharedTables, about: Mapping[str, Any]
) -> ReturnedSheet:
    """Read one sheet: its rows by a pattern if they are written plainly, otherwise all by the parser."""
    plain = cut_rows(container.parts.get(part, b"")) if word == "worksheet" else None
    if plain is not None:
        outer, rows = plain
        frame, namespace = _known_frame(container, part, outer, tables, about["title"])
        sheet = read_plain_sheet(frame, rows, namespace, tables, **about)
        if sheet is not None:
            return sheet
    root = _typed_part(container, part, f"{word}+xml")
    main_namespace(root, word, part)
    return read_sheet(root, tables, **about)


def _known_frame(
    container: Container, part: str, outer: bytes, tables: SharedTables, title: str
) -> tuple[Frame, str]:
    """Return what a part without its rows says, and its namespace; equal parts are read once."""
    outer = FOOTER.sub(rb"\1", outer)  # it names the job, and nobody reads it
    found = tables.known.frames.get((title, outer))
    if found is None:
        root = _typed_part(replace(container, parts={part: outer}), part, "worksheet+xml")
        namespace = main_namespace(root, "worksheet", part)
        frame, _ = read_frame(root, tables, title)
        found = frame, namespace
        tables.known.remember_frame((title, outer), found)
    _check_type(container, part, "worksheet+xml")
    return found


def _without_names(data: bytes) -> tuple[etree._Element, bytes] | None:
    """Return the workbook part parsed without its defined names, and a part with nothing but those.

    None where only the whole part will do.
    """
    cut = cut_out(data, "workbook", "definedNames")
    if cut is None:
        return None
    try:
        root = parse_part({WORKBOOK_PART: cut[0]}, WORKBOOK_PART)
    except UnreadableFile:
        return None
    if [etree.QName(child).localname for child in root].count("definedNames") != 1:
        return None
    head = data[:data.find(b">", data.find(b"<workbook")) + 1]
    return root, b"%b<definedNames>%b</definedNames></workbook>" % (head, cut[1])


def _known_names(root: etree._Element, namespace: str, sheets: int, part: bytes) -> _Names:
    """Return the defined names, of a part of their own if there is one; equal ones are read once."""
    if not part:
        return _read_names(root, namespace, sheets)
    names = _names.get((part, sheets))
    if names is None:
        names = _read_names(parse_part({WORKBOOK_PART: part}, WORKBOOK_PART), namespace, sheets)
        _remember(_names, (part, sheets), names, len(part))
    return names


def _read_names(root: etree._Element, namespace: str, sheets: int) -> _Names:
    everywhere: dict[str, str] = {}
    by_sheet: tuple[dict[str, str], ...] = tuple({} for _ in range(sheets))
    hidden: set[str] = set()
    for element in root.iterfind(f"{namespace}definedNames/{namespace}definedName"):
        name = element.get("name", "").lower()
        text = element.text or ""
        more = len(element.keys()) > 1
        if more and any(is_true(element.get(word)) for word in ("vbProcedure", "xlm", "function")):
            raise carries([f"macros, called by the name {quoted(name)}"])
        outside = reach_outside(text)
        if outside:
            raise carries([f"{outside}, behind the name {quoted(name)}"])
        scope = element.get("localSheetId") if more else None
        into = everywhere if scope is None else _scope(scope, by_sheet)
        if name in into:
            raise unsafe(f"two names that are the same, {quoted(name)}")
        into[name] = text
        if more and scope is None and is_true(element.get("hidden")):
            hidden.add(name)
    return _Names(everywhere, frozenset(hidden), by_sheet)


def _scope(number: str, by_sheet: tuple[dict[str, str], ...]) -> dict[str, str]:
    if INDEX.fullmatch(number) and int(number) < len(by_sheet):
        return by_sheet[int(number)]
    raise unsafe(f"a name of a sheet that is not there, number {quoted(number)}")


def _core_properties(
    parts: Mapping[str, bytes], package: Mapping[str, Relationship]
) -> CoreProperties:
    core_part = related(package, "core-properties")
    program_part = related(package, "extended-properties")
    core = None if core_part is None else parse_part(parts, core_part)
    program = None if program_part is None else parse_part(parts, program_part)

    def text(root: etree._Element | None, tag: str) -> str:
        return "" if root is None else root.findtext(tag) or ""

    return CoreProperties(
        title=text(core, f"{DUBLIN_CORE}title"),
        identifier=text(core, f"{DUBLIN_CORE}identifier"),
        version=text(core, f"{CORE}version"),
        application=text(program, "{*}Application"),
        modified=text(core, f"{TERMS}modified"),
    )


def _custom_properties(
    parts: Mapping[str, bytes], package: Mapping[str, Relationship]
) -> dict[str, str | float | bool]:
    part = related(package, "custom-properties")
    if part is None:
        return {}
    found: dict[str, str | float | bool] = {}
    for element in parse_part(parts, part):
        name = element.get("name", "")
        if name in found:
            raise unsafe(f"two document properties of one name, {quoted(name)}")
        for value in element:
            found[name] = _property(etree.QName(value).localname, value.text or "")
    return found


def _property(kind: str, text: str) -> str | float | bool:
    if kind == "bool":
        return TRUTHS.get(text, text)
    number = strict_number(text) if kind[0] in "iurd" else None
    return text if number is None else number
