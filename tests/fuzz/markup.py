"""Spoils the XML of a workbook's parts: its structure, and what stands in its cells."""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from copy import deepcopy

from lxml import etree

from tests.fuzz.members import Parts, one_of

TAG = re.compile(rb"<[^<>]+>")
SHEET = re.compile(r"xl/worksheets/sheet\d+\.xml")
WORDS = (
    "", "0", "-1", "1", "00", "+5", "1e5", "99999999999999999999", "nan", "NaN", "inf", "1e999", "-0", "0x10",
    "3,5", "3.5", "1_000", "\u0663", " 7 ", "TRUE", "true", "#REF!", "#N/A", "=1+1", "+1", "-1+2", "@SUM(1)",
    "=cmd|' /C calc'!A0", "\x1b[31m".encode("unicode_escape").decode(), "_x001B_[31m", "_x0000_", "_xD800_",
    "<script>alert(1)</script>", "\"><img src=x onerror=alert(1)>", "javascript:alert(1)", "\u202egnp.exe",
    "\ufeff", "\u0000".encode("unicode_escape").decode(), "A" * 40_000, "\U0001f600" * 50, "{{7*7}}", "%s%n",
    "${jndi:x}", "../../etc/passwd", "file:///etc/passwd", "XFD1048576", "A1:XFD1048576", "A0", "ZZZZ1",
    "R1C1",
    "within", "not measured", "99", "4.03", "25.4", "1E-320", "1.7976931348623157E+308", "9" * 399,
    "9" * 5000,
)
FORMULAS = (
    "1+1", "A1", "(" * 3000 + "1" + ")" * 3000, "+".join("1" * 4000), "IF(" * 200 + "1" + ",1)" * 200,
    "'[other.xlsx]S'!A1", "[1]Sheet!A1", "cmd|' /C calc'!A0", 'WEBSERVICE("http://x")',
    'REPT("x",2000000000)',
    "SUM(A1:XFD1048576)", 'INDIRECT("A1")', 'HYPERLINK("http://x","y")', "Bores!A1:A9", "unknown_name",
    "#REF!",
    "10^400", "0^-1", "(-8)^(1/3)", '"', "{1,2;3}", "LET(x,1,x)", "A1#", "@A1", "1E3", "TRUE", "'", "=",
    "==1",
    "bore_size_1_top_thrust", "1/0", 'IF(1,"within","within")', "NOW()", "RAND()", "ROW()", "A1:B2 B1:C3",
)
KINDS = ("", "n", "s", "str", "b", "e", "d", "inlineStr", "x", "N")


def spoilt_structure(parts: Parts, chance: random.Random) -> Parts:
    """Return parts of which one has its markup changed, mostly so that it is still well-formed."""
    mixed = dict(parts)
    for _ in range(chance.choice((1, 1, 1, 3))):
        name = one_of([name for name in mixed if name.endswith((".xml", ".rels"))], chance)
        mixed[name] = spoilt_part(mixed[name], chance)
    return mixed


def spoilt_part(data: bytes, chance: random.Random) -> bytes:
    """Return a part with one thing changed in its markup."""
    return (_as_text if chance.random() < 0.3 else _as_tree)(data, chance)


def _as_text(data: bytes, chance: random.Random) -> bytes:
    """Change one tag as text, whatever becomes of the whole."""
    tags = list(TAG.finditer(data))
    if not tags:
        return data
    tag = chance.choice(tags)
    new = chance.choice((
        b"", tag[0] * 2, tag[0].replace(b'"', b"'"), tag[0].replace(b'"', b"", 1), tag[0].upper(),
        b"<!--" + tag[0] + b"-->", b"<![CDATA[" + tag[0] + b"]]>", b"<?x " + tag[0][1:-1] + b"?>",
        b"&lol;", b"&#0;", b"&#x1b;", tag[0][:-1], b"<a>" * 400 + b"</a>" * 400, b"\x00", b"\xff\xfe",
        tag[0].replace(b"<", b"<z:", 1), tag[0].replace(b" ", b" xmlns='urn:x' ", 1),
    ))
    return data[: tag.start()] + new + data[tag.end():]


def _as_tree(data: bytes, chance: random.Random) -> bytes:
    try:
        root = etree.fromstring(data)
    except etree.XMLSyntaxError:
        return data
    element = _somewhere(root, chance)
    chance.choice(CHANGES)(element, root, chance)
    return etree.tostring(root, xml_declaration=True, encoding="UTF-8", standalone=True)


def _somewhere(root: etree._Element, chance: random.Random) -> etree._Element:
    """Return an element: one near the top as often as any."""
    element = root
    if chance.random() < 0.5:
        for _ in range(chance.randrange(4)):
            if inside := list(element.iterchildren(etree.Element)):
                element = chance.choice(inside)
        return element
    return chance.choice(list(root.iter(etree.Element)))


def _drop(element: etree._Element, root: etree._Element, chance: random.Random) -> None:
    if element is not root:
        element.getparent().remove(element)


def _double(element: etree._Element, root: etree._Element, chance: random.Random) -> None:
    if element is not root:
        element.addnext(deepcopy(element))


def _move(element: etree._Element, root: etree._Element, chance: random.Random) -> None:
    other = _somewhere(root, chance)
    if element is not root and element not in other.iterancestors() and other is not element:
        other.append(element)


def _attribute(element: etree._Element, root: etree._Element, chance: random.Random) -> None:
    more = chance.choice(("r", "s", "t", "ref", "si", "hidden", "state", "Target", "name"))
    names = [*element.attrib, more]
    name = chance.choice(names)
    if chance.random() < 0.3 and name in element.attrib:
        del element.attrib[name]
    else:
        element.set(name, _clean(chance.choice(WORDS)))


def _rename(element: etree._Element, root: etree._Element, chance: random.Random) -> None:
    space = element.tag.rpartition("}")[0]
    word = chance.choice(("c", "row", "v", "f", "is", "t", "sheetData", "x", "mergeCell", "extLst"))
    element.tag = f"{space}}}{word}" if space else word


def _space(element: etree._Element, root: etree._Element, chance: random.Random) -> None:
    element.tag = f"{{urn:x}}{etree.QName(element).localname}"


def _wrap(element: etree._Element, root: etree._Element, chance: random.Random) -> None:
    if element is root:
        return
    outer = etree.Element(element.tag)
    element.addprevious(outer)
    outer.append(element)


def _text(element: etree._Element, root: etree._Element, chance: random.Random) -> None:
    element.text = _clean(chance.choice(WORDS))


CHANGES: tuple[Callable[[etree._Element, etree._Element, random.Random], None], ...] = (
    _drop, _double, _move, _attribute, _attribute, _rename, _space, _wrap, _text,
)


def _clean(text: str) -> str:
    """Return text that XML can hold."""
    return "".join(c for c in text if c in "\t\n\r" or (ord(c) >= 32 and not 0xD800 <= ord(c) < 0xE000))


# ---------------------------------------------------------------- cells


def spoilt_cells(parts: Parts, chance: random.Random) -> Parts:
    """Return parts in which one to five cells, or names, hold something else."""
    mixed = dict(parts)
    for _ in range(chance.choice((1, 1, 2, 5))):
        if chance.random() < 0.1:
            mixed["xl/workbook.xml"] = _other_name(mixed["xl/workbook.xml"], chance)
            continue
        name = chance.choice([name for name in mixed if SHEET.fullmatch(name)])
        root = etree.fromstring(mixed[name])
        cells = list(root.iter("{*}c"))
        if cells:
            _other_content(chance.choice(cells), chance)
            mixed[name] = etree.tostring(root, xml_declaration=True, encoding="UTF-8", standalone=True)
    return mixed


def _other_content(cell: etree._Element, chance: random.Random) -> None:
    space = cell.tag.rpartition("}")[0] + "}"
    value, formula = cell.find(f"{space}v"), cell.find(f"{space}f")
    turn = chance.randrange(8)
    if turn == 0 and formula is not None:
        cell.remove(formula)
    elif turn == 1 and formula is not None:
        formula.text = chance.choice(FORMULAS)
    elif turn == 2:
        formula = etree.SubElement(cell, f"{space}f") if formula is None else formula
        formula.text = chance.choice(FORMULAS)
        cell.insert(0, formula)
    elif turn == 3:
        cell.set("s", chance.choice(("0", "1", "7", "20", "9999", "-1", "x")))
    elif turn == 4 and formula is not None:
        formula.set("t", chance.choice(("shared", "array", "dataTable", "x")))
        formula.set("si", chance.choice(("0", "1", "x", "99999999")))
        formula.set("ref", chance.choice(("A1", "A1:B9", cell.get("r", "A1"), "A1:XFD1048576")))
    else:
        value = etree.SubElement(cell, f"{space}v") if value is None else value
        value.text = _clean(chance.choice(WORDS))
        kind = chance.choice(KINDS)
        if kind:
            cell.set("t", kind)
        else:
            cell.attrib.pop("t", None)


def _other_name(data: bytes, chance: random.Random) -> bytes:
    root = etree.fromstring(data)
    names = list(root.iter("{*}definedName"))
    if names:
        name = chance.choice(names)
        if chance.random() < 0.5:
            name.text = chance.choice((chance.choice(names).text, "#REF!", "1", "Bores!$A$1", *FORMULAS[:8]))
        else:
            word = chance.choice(("name", "hidden", "localSheetId", "function", "xlm"))
            name.set(word, chance.choice(WORDS[:20]))
    return etree.tostring(root, xml_declaration=True, encoding="UTF-8", standalone=True)
