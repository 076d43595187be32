"""What a strict program looks for before it offers to repair a workbook, as a list of complaints.

Parts, references between them and content types follow ECMA-376 Part 2, the workbook part and its
names Part 1, clause 18.2.
"""

from __future__ import annotations

import io
import posixpath
import re
import zipfile
from collections.abc import Iterator, Mapping

from lxml import etree

from tests.crosscheck.sheet_rules import MAIN, REFERENCE, Package, place, twice, worksheet

TYPES = "{http://schemas.openxmlformats.org/package/2006/content-types}"
LINKS = "{http://schemas.openxmlformats.org/package/2006/relationships}"
SHEET_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"

SHEET_NAME = re.compile(r"(?!')[^:\\/?*\[\]\x00-\x1f]{1,31}(?<!')")
NAME = re.compile(
    r"(?!(?:[A-Z]{1,3}[0-9]+|R[0-9]*|C[0-9]*|R[0-9]+C[0-9]+)$)[A-Z_\\][A-Z0-9_.\\]{0,254}", re.I
)
OWN_NAMES = {"_xlnm.Print_Area", "_xlnm.Print_Titles"}


def complaints(data: bytes) -> list[str]:
    """Return everything that a strict program would stumble over."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        listed = [item.filename for item in archive.infolist()]
        broken = archive.testzip()
        parts = {name: archive.read(name) for name in listed if name != broken}
    found = [f"{broken}: damaged"] if broken else []
    found += [f"{name}: twice in the package" for name in twice(listed)]
    roots = {}
    for name, content in parts.items():
        if not name.endswith((".xml", ".rels")):
            continue
        try:
            roots[name] = etree.fromstring(content)
        except etree.XMLSyntaxError as error:
            found.append(f"{name}: {error.msg}")
        if b"<!DOCTYPE" in content:
            found.append(f"{name}: has a document type")
    found += content_types(parts, roots)
    links: dict[str, Mapping[str, str]] = {}
    found += list(relationships(parts, roots, links))
    package = Package(parts, roots, links)
    if "xl/workbook.xml" not in roots:
        return [*found, "xl/workbook.xml: missing"]
    found += list(workbook(package))
    for part, root in roots.items():
        if root.tag == f"{MAIN}worksheet":
            found += [f"{part}: {told}" for told in worksheet(package, part, root)]
    return found


# ---------------------------------------------------------------- the package


def content_types(parts: Mapping[str, bytes], roots: Mapping[str, etree._Element]) -> Iterator[str]:
    """Every part has a type, and every type a part."""
    root = roots.get("[Content_Types].xml")
    if root is None:
        yield "[Content_Types].xml: missing"
        return
    endings = {item.get("Extension", "").lower() for item in root.iter(f"{TYPES}Default")}
    own = [item.get("PartName", "").removeprefix("/") for item in root.iter(f"{TYPES}Override")]
    for name in twice(own):
        yield f"{name}: two content types"
    for name in own:
        if name not in parts:
            yield f"{name}: a content type without a part"
    for name in parts:
        if name != "[Content_Types].xml" and name not in own:
            ending = name.rsplit(".", 1)[-1].lower()
            if ending not in endings or ending == "xml":
                yield f"{name}: no content type of its own"
    for item in root.iter(f"{TYPES}Override"):
        name = item.get("PartName", "").removeprefix("/")
        sheet = name in roots and roots[name].tag == f"{MAIN}worksheet"
        if sheet != (item.get("ContentType") == SHEET_TYPE):
            yield f"{name}: its content type is that of another kind of part"


def relationships(
    parts: Mapping[str, bytes], roots: Mapping[str, etree._Element],
    links: dict[str, Mapping[str, str]],
) -> Iterator[str]:
    """Every reference leads to a part, every part is led to, and every id that is used is there."""
    reached = {"[Content_Types].xml"}
    for name, root in roots.items():
        if not name.endswith(".rels"):
            continue
        reached.add(name)
        folder, file = posixpath.split(name)
        source = posixpath.normpath(posixpath.join(folder, "..", file.removesuffix(".rels")))
        if source != "." and source not in parts:
            yield f"{name}: references of a part that is not there"
        found: dict[str, str] = {}
        for item in root.iter(f"{LINKS}Relationship"):
            number, target = item.get("Id", ""), item.get("Target", "")
            if number in found:
                yield f"{name}: {number} twice"
            if item.get("TargetMode") == "External":
                yield f"{name}: {number} leads outside, to {target}"
            base = "" if source == "." else posixpath.dirname(source)
            target = posixpath.normpath(posixpath.join("/", base, target)).removeprefix("/")
            if target not in parts:
                yield f"{name}: {number} leads to {target}, which is not there"
            found[number] = target
            reached.add(target)
        links[source] = found
    for name, root in roots.items():
        for element in root.iter("*"):
            for attribute, number in element.items():
                if attribute.startswith(REFERENCE) and number not in links.get(name, {}):
                    yield f"{name}: uses {number}, which is not there"
    for name in parts:
        if name not in reached:
            yield f"{name}: nothing leads to it"


# ---------------------------------------------------------------- the workbook part


def workbook(package: Package) -> Iterator[str]:
    """Sheets and names: legal, single, and leading somewhere."""
    root = package.roots["xl/workbook.xml"]
    sheets = root.findall(f"{MAIN}sheets/{MAIN}sheet")
    package.titles.extend(sheet.get("name", "") for sheet in sheets)
    for title in package.titles:
        if not SHEET_NAME.fullmatch(title) or title.casefold() == "history":
            yield f"sheet {title!r}: no legal name"
    for title in twice(package.titles):
        yield f"sheet {title!r}: twice"
    for number in twice(sheet.get("sheetId", "") for sheet in sheets):
        yield f"sheet number {number}: twice"
    if all(sheet.get("state", "visible") != "visible" for sheet in sheets):
        yield "no sheet is visible"
    for view in root.iter(f"{MAIN}workbookView"):
        active = int(view.get("activeTab", "0"))
        if active >= len(sheets) or sheets[active].get("state", "visible") != "visible":
            yield f"the sheet in front, number {active}, cannot be seen"
    defined = root.findall(f"{MAIN}definedNames/{MAIN}definedName")
    scoped = [f"{item.get('name')} {item.get('localSheetId', '')}".strip() for item in defined]
    for name in twice(scoped):
        yield f"name {name}: twice"
    for item in defined:
        name, target = item.get("name", ""), item.text or ""
        if item.get("localSheetId") is None:
            package.names.add(name.casefold())
        elif int(item.get("localSheetId", "0")) >= len(sheets):
            yield f"name {name}: of a sheet that is not there"
        if name not in OWN_NAMES and not NAME.fullmatch(name):
            yield f"name {name}: not legal"
        for area in target.split(","):
            told = place(area, package.titles)
            if told:
                yield f"name {name}: {told}"
