"""Reads an OpenDocument spreadsheet (.ods) into the same structure as an .xlsx workbook.

Formulas, references and rules come out in the spelling of an .xlsx workbook, so that everything behind
the reader is the same for both.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import Path

from lxml import etree
from openpyxl.utils.datetime import MAC_EPOCH, WINDOWS_EPOCH

from validators.container import Limits, carries, xml_parts
from validators.errors import quoted
from validators.file_kinds import TAKE_OUT, ZIP_START, damaged, encrypted, unsafe
from validators.formula_text import reach_outside
from validators.open_document_cells import OFFICE
from validators.open_document_formula import translated, translated_range
from validators.open_document_sheet import read_table
from validators.open_document_styles import TABLE, URN, Styles
from validators.package import parse_part
from validators.returned_sheet import ReturnedSheet
from validators.returned_workbook import CoreProperties, ReturnedWorkbook
from validators.sheet_cells import SharedTables, strict_number
from validators.zip_members import read_members

MEDIA_TYPE = b"mimetypeapplication/vnd.oasis.opendocument.spreadsheet"
HEADER_BYTES = 30
CONTENT, STYLES, META, MANIFEST = "content.xml", "styles.xml", "meta.xml", "meta-inf/manifest.xml"
LIST = f"{{{URN}:manifest:1.0}}"
PROPERTIES = f"{{{URN}:meta:1.0}}"
DUBLIN_CORE = "{http://purl.org/dc/elements/1.1/}"
LINK = "{http://www.w3.org/1999/xlink}href"
DRAWING = f"{{{URN}:drawing:1.0}}"
CHART = "application/vnd.oasis.opendocument.chart"
CARRIED = (
    ("macros", (f"{{{URN}:script:1.0}}event-listener", f"{OFFICE}script")),
    ("links to other documents", (f"{TABLE}table-source", f"{TABLE}cell-range-source")),
    ("live data links", (f"{TABLE}dde-link", f"{OFFICE}dde-source")),
    ("queries of outside data", tuple(
        f"{TABLE}database-source-{word}" for word in ("sql", "table", "query")
    )),
    ("embedded objects", tuple(f"{DRAWING}{word}" for word in ("plugin", "applet", "floating-frame"))),
    ("active controls", (f"{DRAWING}control",)),
)
FIRST_DAY_1904 = "1904-01-01"


def is_open_document(data: bytes) -> bool:
    """Return whether a file says in its first bytes that it is an OpenDocument spreadsheet."""
    return data.startswith(ZIP_START) and data[HEADER_BYTES:].startswith(MEDIA_TYPE)


def read_open_document(data: bytes, path: Path, limits: Limits | None = None) -> ReturnedWorkbook:
    """Return what an OpenDocument spreadsheet holds.

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
        FILE02 damaged, FILE03 encrypted, FILE04 macros or links, FILE05 unsafe structure.
    """
    limits = limits or Limits()
    if len(data) > limits.file_bytes:
        raise unsafe("a very large file", f"a file of at most {limits.file_bytes / 1e6:.0f} MB", TAKE_OUT)
    members = read_members(data, limits)
    _check_list(members)
    parts = xml_parts(members, limits)
    content = parse_part(parts, CONTENT)
    book = content.find(f"{OFFICE}body/{OFFICE}spreadsheet")
    if content.tag != f"{OFFICE}document-content" or book is None:
        raise damaged("its content is no spreadsheet")
    _check_carried(members, content)
    styles = Styles()
    for root in (parse_part(parts, STYLES) if STYLES in parts else None, content):
        if root is not None:
            styles.read(root)
    first_day = book.find(f"{TABLE}calculation-settings/{TABLE}null-date")
    from_1904 = first_day is not None and first_day.get(f"{TABLE}date-value") == FIRST_DAY_1904
    tables = SharedTables(
        texts=(), formats={}, limits=limits, epoch=MAC_EPOCH if from_1904 else WINDOWS_EPOCH
    )
    meta = parse_part(parts, META) if META in parts else None
    return ReturnedWorkbook(
        path=path,
        digest=hashlib.sha256(data).hexdigest(),
        sheets=_read_sheets(book, styles, tables),
        names=_read_names(book),
        hidden_names=frozenset(),
        custom=_custom_properties(meta),
        core=_core_properties(meta),
        counts_from_1904=from_1904,
    )


def _check_list(members: Mapping[str, bytes]) -> None:
    """Refuse a document that is encrypted, wholly or in part."""
    parts = {name.lower(): text for name, text in members.items() if name.lower() == MANIFEST}
    if parts and b"encryption-data" in parts[MANIFEST]:
        raise encrypted("a workbook encrypted with a password")


def _check_carried(members: Mapping[str, bytes], content: etree._Element) -> None:
    found = [what for what, tags in CARRIED if next(content.iter(*tags), None) is not None]
    folders = {name.partition("/")[0].lower() for name in members if "/" in name}
    if folders & {"basic", "scripts"} and "macros" not in found:
        found.insert(0, "macros")
    for element in content.iter(f"{DRAWING}object", f"{DRAWING}object-ole"):
        target = element.get(LINK, "").removeprefix("./")
        inside = members.get(f"{target}/content.xml")
        if inside is None or b":chart>" not in inside:
            found.append("embedded objects")
            break
    if found:
        raise carries(dict.fromkeys(found))


def _read_sheets(
    book: etree._Element, styles: Styles, tables: SharedTables
) -> tuple[ReturnedSheet, ...]:
    rules: dict[str, etree._Element] = {}
    for element in book.iterfind(f"{TABLE}content-validations/{TABLE}content-validation"):
        rules.setdefault(element.get(f"{TABLE}name", ""), element)
    sheets: list[ReturnedSheet] = []
    titles: set[str] = set()
    for table in book.iterchildren(f"{TABLE}table"):
        title = table.get(f"{TABLE}name", "")
        if not title:
            raise damaged("a sheet has no title")
        if title.casefold() in titles:
            raise unsafe(f"a sheet that is there twice, {quoted(title)}")
        titles.add(title.casefold())
        sheets.append(read_table(table, styles, rules, tables, _read_names(table)))
    return tuple(sheets)


def _read_names(parent: etree._Element) -> dict[str, str]:
    names: dict[str, str] = {}
    for element in parent.iterfind(f"{TABLE}named-expressions/*"):
        name = element.get(f"{TABLE}name", "").lower()
        where = f"behind the name {quoted(name)}"
        if element.tag == f"{TABLE}named-range":
            text = translated_range(element.get(f"{TABLE}cell-range-address", ""), where)
        else:
            text = translated(f"of:={element.get(f'{TABLE}expression', '')}", where)
        outside = reach_outside(text)
        if outside:
            raise carries([f"{outside}, {where}"])
        if name in names:
            raise unsafe(f"two names that are the same, {quoted(name)}")
        names[name] = text
    return names


def _core_properties(meta: etree._Element | None) -> CoreProperties:
    def text(tag: str) -> str:
        return "" if meta is None else meta.findtext(f"{OFFICE}meta/{tag}") or ""

    return CoreProperties(
        title=text(f"{DUBLIN_CORE}title"),
        identifier=text(f"{DUBLIN_CORE}identifier"),
        version="",
        application=text(f"{PROPERTIES}generator"),
        modified=text(f"{DUBLIN_CORE}date"),
    )


def _custom_properties(meta: etree._Element | None) -> dict[str, str | float | bool]:
    found: dict[str, str | float | bool] = {}
    for element in () if meta is None else meta.iterfind(f"{OFFICE}meta/{PROPERTIES}user-defined"):
        name, kind = element.get(f"{PROPERTIES}name", ""), element.get(f"{PROPERTIES}value-type", "string")
        if name in found:
            raise unsafe(f"two document properties of one name, {quoted(name)}")
        text = element.text or ""
        number = strict_number(text) if kind == "float" else None
        found[name] = text if number is None else number
    return found
