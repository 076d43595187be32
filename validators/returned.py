"""Opens a returned workbook: the guard, then one pass over each part; nothing is ever saved."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, cast, get_args

from lxml import etree
from openpyxl.utils.datetime import MAC_EPOCH, WINDOWS_EPOCH

from validators.container import Container, Limits, carries, guard, read_once
from validators.errors import quoted
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
from validators.plain_rows import cut_rows
from validators.returned_sheet import (
    CellFormat,
    Kind,
    ReturnedCell,
    ReturnedSheet,
    ReturnedValidation,
    Visibility,
)
from validators.returned_workbook import CoreProperties, ReturnedWorkbook
from validators.shared_parts import is_true, read_formats, read_texts
from validators.sheet_cells import INDEX, SharedTables, strict_number
from validators.sheet_part import read_sheet

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


@dataclass(frozen=True, slots=True)
class _Names:
    everywhere: dict[str, str]
    hidden: frozenset[str]
    by_sheet: tuple[dict[str, str], ...]


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
    root = parse_part(container.parts, WORKBOOK_PART)
    namespace = main_namespace(root, "workbook", WORKBOOK_PART)
    references = relationships(container.parts, WORKBOOK_PART)
    settings = root.find(f"{namespace}workbookPr")
    from_1904 = settings is not None and is_true(settings.get("date1904"))
    listed = root.findall(f"{namespace}sheets/{namespace}sheet")
    names = _read_names(root, namespace, len(listed))
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
    formats = {"0": CellFormat()}
    part = related(references, "sharedStrings")
    if part is not None:
        root = _typed_part(container, part, "sharedstrings+xml")
        texts = read_texts(root, main_namespace(root, "sst", part), limits)
    part = related(references, "styles")
    if part is not None:
        root = _typed_part(container, part, "styles+xml")
        formats = read_formats(root, main_namespace(root, "styleSheet", part))
    epoch = MAC_EPOCH if from_1904 else WINDOWS_EPOCH
    return SharedTables(texts=texts, formats=formats, limits=limits, epoch=epoch)


def _typed_part(container: Container, part: str, ending: str) -> etree._Element:
    """Return the root of a part whose content type says what its reference says."""
    root = parse_part(container.parts, part)
    if not container.types[part].endswith(ending):
        raise unsafe(f"a part described in two different ways, {quoted(part)}")
    return root


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
        without = replace(container, parts={**container.parts, part: plain[0]})
        root = _typed_part(without, part, f"{word}+xml")
        main_namespace(root, word, part)
        sheet = read_sheet(root, tables, **about, rows=plain[1])
        if sheet is not None:
            return sheet
    root = _typed_part(container, part, f"{word}+xml")
    main_namespace(root, word, part)
    return cast("ReturnedSheet", read_sheet(root, tables, **about))


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
