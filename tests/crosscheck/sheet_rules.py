"""What may stand on one sheet before a strict program offers to repair the workbook.

The order of elements and what may stand in them follow ECMA-376 Part 1, clause 18.3; the lengths
are the limits that the makers of spreadsheet programs publish.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from lxml import etree
from openpyxl.formula import Tokenizer
from openpyxl.utils import get_column_letter, range_boundaries

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
REFERENCE = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}"

ROWS, COLUMNS = 1_048_576, 16_384
CELL_TEXT, FORMULA, LIST_TEXT = 32_767, 8_192, 255
MESSAGES = {"promptTitle": 32, "errorTitle": 32, "prompt": 255, "error": 224}
RULE_PLACES = 32_767
ROW_HEIGHT, COLUMN_WIDTH, PRINTED_LINE = 409.5, 255.0, 255
UNSEEN = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f]")
ORDER = (
    "sheetPr", "dimension", "sheetViews", "sheetFormatPr", "cols", "sheetData", "sheetCalcPr",
    "sheetProtection", "protectedRanges", "scenarios", "autoFilter", "sortState",
    "dataConsolidate", "customSheetViews", "mergeCells", "phoneticPr", "conditionalFormatting",
    "dataValidations", "hyperlinks", "printOptions", "pageMargins", "pageSetup", "headerFooter",
    "rowBreaks", "colBreaks", "customProperties", "cellWatches", "ignoredErrors", "smartTags",
    "drawing", "legacyDrawing", "legacyDrawingHF", "picture", "oleObjects", "controls",
    "webPublishItems", "tableParts", "extLst",
)  # ECMA-376 Part 1, 18.3.1.99
CELL_KINDS = {"b", "e", "n", "s", "str", "inlineStr"}
Box = tuple[int, int, int, int]


@dataclass(frozen=True)
class Package:
    """The parts of a workbook, as far as they can be read."""

    parts: Mapping[str, bytes]
    roots: Mapping[str, etree._Element]
    links: Mapping[str, Mapping[str, str]]
    names: set[str] = field(default_factory=set)
    titles: list[str] = field(default_factory=list)

    def forms(self, group: str, kind: str) -> int:
        """Return how many formats of a kind there are."""
        root = self.roots.get("xl/styles.xml")
        return 0 if root is None else len(root.findall(f"{MAIN}{group}/{MAIN}{kind}"))


def twice(names: Iterable[str]) -> list[str]:
    """Return the names that occur more than once, whatever their capitals."""
    return [name for name, count in Counter(name.casefold() for name in names).items() if count > 1]


def place(text: str, titles: Iterable[str]) -> str:
    """Return why an area such as ``'Bores'!$B$2`` is none, or nothing."""
    match = re.fullmatch(r"(?:'((?:[^']|'')+)'|([A-Za-z0-9_.]+))!(.+)", text)
    if match is None:
        return f"{text} is no area"
    title = (match[1] or match[2]).replace("''", "'")
    if title not in titles:
        return f"{text} is on a sheet that is not there"
    return "" if box(match[3]) else f"{text} is no area"


def box(text: str) -> Box | None:
    """Return left, top, right and bottom of an area, None if it is none."""
    try:
        left, top, right, bottom = range_boundaries(text)
    except (ValueError, TypeError):
        return None
    left, top, right, bottom = left or 1, top or 1, right or COLUMNS, bottom or ROWS
    legal = 1 <= left <= right <= COLUMNS and 1 <= top <= bottom <= ROWS
    return (left, top, right, bottom) if legal else None


def worksheet(package: Package, part: str, root: etree._Element) -> Iterator[str]:
    """Return what is wrong with one sheet."""
    tags = [etree.QName(child).localname for child in root]
    known = [ORDER.index(tag) for tag in tags if tag in ORDER]
    if known != sorted(known) or len(known) != len(tags):
        yield f"elements in an order that is not allowed: {', '.join(tags)}"
    for name in twice(tag for tag in tags if tag != "conditionalFormatting"):
        yield f"{name}: twice"
    yield from cells(package, root)
    yield from merged(root)
    yield from rules(package, root)
    yield from tones(package, root)
    yield from printing(root)
    for link in root.iter(f"{MAIN}hyperlink"):
        where = link.get("location")
        told = place(where, package.titles) if where else ""
        if told or (where is None and link.get(f"{REFERENCE}id") is None):
            yield f"link at {link.get('ref')}: {told or 'leads nowhere'}"


def cells(package: Package, root: etree._Element) -> Iterator[str]:
    """Rows and cells: in order, in range, of a known kind, not too long."""
    texts = shared_texts(package)
    forms = package.forms("cellXfs", "xf")
    last_row = 0
    for row in root.iterfind(f"{MAIN}sheetData/{MAIN}row"):
        number, last_column = int(row.get("r", "0")), 0
        if not last_row < number <= ROWS:
            yield f"row {number}: out of order"
        if float(row.get("ht", "0")) > ROW_HEIGHT:
            yield f"row {number}: too high"
        last_row = number
        for cell in row:
            address = cell.get("r", "")
            area = box(address)
            if area is None or area[1] != number or area[0] <= last_column:
                yield f"{address}: out of order in row {number}"
            last_column = area[0] if area else last_column
            if int(cell.get("s", "0")) >= forms:
                yield f"{address}: a format that is not there"
            yield from (f"{address}: {told}" for told in cell_content(package, cell, texts))


def shared_texts(package: Package) -> list[str]:
    """Return the shared texts."""
    root = package.roots.get("xl/sharedStrings.xml")
    if root is None:
        return []
    return ["".join(item.itertext()) for item in root.iterfind(f"{MAIN}si")]


def cell_content(package: Package, cell: etree._Element, texts: list[str]) -> Iterator[str]:
    """One cell's kind, value and formula."""
    kind, value = cell.get("t", "n"), cell.findtext(f"{MAIN}v")
    text = value or ""
    if kind not in CELL_KINDS:
        yield f"a kind {kind!r} that is none"
    elif kind == "s":
        if not text.isdigit() or int(text) >= len(texts):
            yield f"text number {text!r} is not there"
        else:
            text = texts[int(text)]
    elif kind == "inlineStr":
        text = "".join(cell.itertext())
    elif kind == "n" and text and not is_number(text):
        yield f"{text!r} is no number"
    elif kind == "b" and text not in ("0", "1"):
        yield f"{text!r} is neither true nor false"
    elif kind == "e" and not text.startswith("#"):
        yield f"{text!r} is no error"
    if len(text) > CELL_TEXT:
        yield f"a text of {len(text)} characters"
    if UNSEEN.search(text):
        yield "a character that cannot be shown"
    formula = cell.findtext(f"{MAIN}f")
    if formula is not None:
        yield from formula_faults(package, formula)


def is_number(text: str) -> bool:
    """Return whether a text is a number that a cell can hold."""
    try:
        return math.isfinite(float(text)) and text == text.strip() and "_" not in text
    except ValueError:
        return False


def formula_faults(package: Package, formula: str) -> Iterator[str]:
    """Return what is wrong with a formula: its length, and names that are not there."""
    if not formula or formula.startswith("=") or len(formula) > FORMULA:
        yield f"a formula of {len(formula)} characters, {formula[:20]!r}"
        return
    for token in Tokenizer(f"={formula}").items:
        if token.type != "OPERAND" or token.subtype != "RANGE":
            continue
        known = token.value.casefold() in package.names
        if not known and "!" in token.value:
            known = not place(token.value, package.titles)
        if not known and not box(token.value):
            yield f"a formula with {token.value}, which is not there"


def merged(root: etree._Element) -> Iterator[str]:
    """Merged areas are areas, do not touch, and hold a value only in their first cell."""
    taken: dict[tuple[int, int], str] = {}
    filled = {cell.get("r") for cell in root.iter(f"{MAIN}c") if len(cell)}
    listed = root.find(f"{MAIN}mergeCells")
    for item in root.iter(f"{MAIN}mergeCell"):
        text = item.get("ref", "")
        area = box(text)
        if area is None or area[:2] == area[2:]:
            yield f"merged {text}: no area"
            continue
        left, top, right, bottom = area
        for column in range(left, right + 1):
            for row in range(top, bottom + 1):
                if (column, row) in taken:
                    yield f"merged {text}: touches {taken[column, row]}"
                taken[column, row] = text
                if (column, row) != (left, top) and f"{get_column_letter(column)}{row}" in filled:
                    yield f"merged {text}: a value is hidden in {get_column_letter(column)}{row}"
    if listed is not None and listed.get("count") != str(len(listed)):
        yield "merged areas are counted wrongly"


def rules(package: Package, root: etree._Element) -> Iterator[str]:
    """Entry rules: counted, one for each cell, none too long."""
    taken: dict[Box, str] = {}
    listed = root.find(f"{MAIN}dataValidations")
    if listed is not None and listed.get("count") != str(len(listed)):
        yield "entry rules are counted wrongly"
    for item in root.iter(f"{MAIN}dataValidation"):
        where = item.get("sqref", "")
        told = f"entry rule at {where.split(' ')[0]}"
        for name, most in MESSAGES.items():
            if len(item.get(name, "")) > most:
                yield f"{told}: {name} of {len(item.get(name, ''))} characters"
        places = where.split()
        if not 1 <= len(places) <= RULE_PLACES:
            yield f"{told}: {len(places)} places"
        for text in places:
            area = box(text)
            if area is None:
                yield f"{told}: {text} is no area"
            elif any(touch(area, other) for other in taken):
                yield f"{told}: {text} has another rule"
            else:
                taken[area] = text
        for number in ("formula1", "formula2"):
            formula = item.findtext(f"{MAIN}{number}")
            if formula is None:
                continue
            if formula.startswith('"'):
                if len(formula.strip('"')) > LIST_TEXT:
                    yield f"{told}: a list of {len(formula)} characters"
            elif not is_number(formula):
                yield from (f"{told}: {fault}" for fault in formula_faults(package, formula))


def touch(one: Box, other: Box) -> bool:
    """Return whether two areas share a cell."""
    return (
        one[0] <= other[2] and other[0] <= one[2] and one[1] <= other[3] and other[1] <= one[3]
    )


def tones(package: Package, root: etree._Element) -> Iterator[str]:
    """Conditional formats: each with a format that is there, and a rank of its own."""
    forms = package.forms("dxfs", "dxf")
    ranks = []
    for item in root.iter(f"{MAIN}cfRule"):
        ranks.append(item.get("priority", ""))
        told = f"conditional format {ranks[-1]}"
        if int(item.get("dxfId", "-1")) not in range(forms):
            yield f"{told}: a format that is not there"
        for formula in item.iterfind(f"{MAIN}formula"):
            yield from (f"{told}: {fault}" for fault in formula_faults(package, formula.text or ""))
    for rank in twice(ranks):
        yield f"conditional format {rank}: two of one rank"
    for item in root.iter(f"{MAIN}conditionalFormatting"):
        for text in item.get("sqref", "").split() or ["nowhere"]:
            if box(text) is None:
                yield f"conditional format at {text}: no area"


def printing(root: etree._Element) -> Iterator[str]:
    """Columns, page breaks and printed lines are within what a program takes."""
    last = 0
    for column in root.iter(f"{MAIN}col"):
        first, after = int(column.get("min", "0")), int(column.get("max", "0"))
        if not last < first <= after <= COLUMNS:
            yield f"column {first}: out of order"
        if float(column.get("width", "0")) > COLUMN_WIDTH:
            yield f"column {first}: too wide"
        last = after
    for tag in ("oddHeader", "oddFooter"):
        line = root.findtext(f"{MAIN}headerFooter/{MAIN}{tag}") or ""
        if len(line) > PRINTED_LINE:
            yield f"{tag} of {len(line)} characters"
    for breaks in root.iter(f"{MAIN}rowBreaks"):
        if breaks.get("count") != str(len(breaks)):
            yield "page breaks are counted wrongly"
