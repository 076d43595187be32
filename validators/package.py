"""The parts of a workbook and how they refer to each other: XML, relationships, content types."""

from __future__ import annotations

import posixpath
from collections.abc import Mapping
from dataclasses import dataclass

from lxml import etree

from validators.errors import quoted
from validators.file_kinds import damaged, unsafe

PACKAGE = "http://schemas.openxmlformats.org/package/2006"
RELATIONSHIP = f"{{{PACKAGE}/relationships}}Relationship"
CONTENT_TYPES_PART = "[content_types].xml"
CONTENT_TYPE_DEFAULT = f"{{{PACKAGE}/content-types}}Default"
CONTENT_TYPE_OVERRIDE = f"{{{PACKAGE}/content-types}}Override"
MAIN_NAMESPACES = (
    "http://schemas.openxmlformats.org/spreadsheetml/2006/main",
    "http://purl.oclc.org/ooxml/spreadsheetml/main",
)
OFFICE_RELATIONSHIPS = (
    "http://schemas.openxmlformats.org/officeDocument/2006/relationships",
    "http://purl.oclc.org/ooxml/officeDocument/relationships",
)

# Comments and processing instructions go, so that "1<!-- -->2" is one text and not the text "1".
_PARSER = etree.XMLParser(
    resolve_entities=False,
    no_network=True,
    load_dtd=False,
    huge_tree=False,
    remove_comments=True,
    remove_pis=True,
)


@dataclass(frozen=True, slots=True)
class Relationship:
    """One reference from a part: last word of its type, and the part or address it leads to.

    `spelt` is the end of the part's name as the reference writes it; `target` is in lower case.
    """

    kind: str
    target: str
    external: bool
    spelt: str = ""


def parse_part(parts: Mapping[str, bytes], name: str) -> etree._Element:
    """Return the root of a part.

    Parameters
    ----------
    parts : mapping of str to bytes
        XML parts by lower-case name, already found to be UTF-8 without a document type.
    name : str
        Lower-case name of the part.

    Raises
    ------
    UnreadableFile
        FILE02 when the part is missing or is not well-formed.
    MemoryError
        There is not enough memory to read it.
    """
    if name not in parts:
        raise damaged(f"its part {quoted(name)} is missing")
    try:
        return etree.fromstring(parts[name], _PARSER)
    except etree.XMLSyntaxError as fault:
        if fault.code == etree.ErrorTypes.ERR_NO_MEMORY:
            raise MemoryError(name) from fault
        raise damaged(f"its part {quoted(name)} is not well-formed") from fault


def main_namespace(root: etree._Element, tag: str, name: str) -> str:
    """Return the namespace prefix of a spreadsheet part, as in ``{...}row``.

    Raises
    ------
    UnreadableFile
        FILE02 when the root is not the element `tag` of a spreadsheet.
    """
    for namespace in MAIN_NAMESPACES:
        if root.tag == f"{{{namespace}}}{tag}":
            return f"{{{namespace}}}"
    raise damaged(f"its part {quoted(name)} does not hold a {tag}")


def relationships_part(source: str) -> str:
    """Return the name of the part that holds the relationships of another; "" is the package.

    Examples
    --------
    >>> relationships_part("xl/workbook.xml")
    'xl/_rels/workbook.xml.rels'
    """
    folder, name = posixpath.split(source)
    return posixpath.join(folder, "_rels", f"{name}.rels")


def relationships(parts: Mapping[str, bytes], source: str) -> dict[str, Relationship]:
    """Return the relationships of a part by identifier; none when it has no such part.

    Parameters
    ----------
    parts : mapping of str to bytes
        XML parts by lower-case name.
    source : str
        Lower-case name of the part, "" for the package itself.

    Raises
    ------
    UnreadableFile
        FILE05 when an identifier stands twice or a target leads out of the file.
    """
    name = relationships_part(source)
    if name not in parts:
        return {}
    found: dict[str, Relationship] = {}
    for element in parse_part(parts, name).iter(RELATIONSHIP):
        identifier = element.get("Id", "")
        if identifier in found:
            raise unsafe(f"two references with one identifier in {quoted(name)}")
        external = element.get("TargetMode", "Internal") != "Internal"
        target = element.get("Target", "")
        found[identifier] = Relationship(
            kind=element.get("Type", "").rsplit("/", 1)[-1],
            target=target if external else _resolve(source, target),
            external=external,
            spelt="/".join(step for step in target.split("/") if step not in {"", ".", ".."}),
        )
    return found


def related(found: Mapping[str, Relationship], kind: str) -> str | None:
    """Return the one part referred to as `kind`, None when there is none.

    Raises
    ------
    UnreadableFile
        FILE05 when there are several: programs would choose differently.
    """
    targets = [r.target for r in found.values() if r.kind == kind]
    if len(targets) > 1:
        raise unsafe(f"two parts that both serve as {quoted(kind)}")
    return targets[0] if targets else None


def content_types(parts: Mapping[str, bytes]) -> tuple[dict[str, str], dict[str, str]]:
    """Return the content types by lower-case extension and by lower-case part name.

    Raises
    ------
    UnreadableFile
        FILE02 when the list is damaged, FILE05 when a part or an extension stands twice.
    """
    defaults: dict[str, str] = {}
    overrides: dict[str, str] = {}
    for element in parse_part(parts, CONTENT_TYPES_PART).iter(
        CONTENT_TYPE_DEFAULT, CONTENT_TYPE_OVERRIDE
    ):
        default = element.tag == CONTENT_TYPE_DEFAULT
        into = defaults if default else overrides
        key = element.get("Extension" if default else "PartName", "").lower().lstrip("/")
        if key in into:
            raise unsafe(f"two content types of {quoted(key)}")
        into[key] = element.get("ContentType", "").lower()
    return defaults, overrides


def _resolve(source: str, target: str) -> str:
    joined = posixpath.join("/", posixpath.dirname(source), target)
    parts: list[str] = []
    for step in joined.split("/"):
        if step == "..":
            if not parts:
                raise unsafe(f"a reference that leads out of the file, {quoted(target)}")
            parts.pop()
        elif step not in {"", "."}:
            parts.append(step)
    return "/".join(parts).lower()
