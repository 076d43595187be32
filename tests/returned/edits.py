"""What spreadsheet programs, other tools and people do to a workbook, done to its parts."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable, Mapping
from typing import Any

from lxml import etree
from openpyxl.utils import get_column_letter

from sheetgen.fill import MAIN, OFFICE, PACKAGE, put, sheet_parts
from sheetgen.plan import Plan
from validators.places import read_address, read_target

BOOK, BOOK_RELATIONS, TYPES = "xl/workbook.xml", "xl/_rels/workbook.xml.rels", "[Content_Types].xml"
CONTENT = "http://schemas.openxmlformats.org/package/2006/content-types"
BROKEN = "#REF!"
EMPTY_SHEET = f'<worksheet xmlns="{MAIN}"><sheetData/></worksheet>'
WORKSHEET_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"

Edit = Callable[[Any], None]


def unpack(data: bytes) -> dict[str, bytes]:
    """Return the parts of a workbook."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {item.filename: archive.read(item) for item in archive.infolist()}


def pack(parts: Mapping[str, bytes]) -> bytes:
    """Return a workbook of these parts; stored, which is as good to read and quicker."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as archive:
        for name, content in parts.items():
            archive.writestr(zipfile.ZipInfo(name), content)  # no time of day: the same each time
    return out.getvalue()


def edit_part(data: bytes, part: str, edit: Edit) -> bytes:
    """Return the workbook with one XML part edited in place."""
    parts = unpack(data)
    root = etree.fromstring(parts[part])
    edit(root)
    parts[part] = etree.tostring(root, xml_declaration=True, encoding="UTF-8", standalone=True)
    return pack(parts)


def edit_sheet(data: bytes, title: str, edit: Edit) -> bytes:
    """Return the workbook with the part of one sheet edited."""
    return edit_part(data, sheet_parts(unpack(data))[title], edit)


def edit_cell(data: bytes, plan: Plan, name: str, edit: Edit) -> bytes:
    """Return the workbook with one named cell edited, where it was written."""
    cell = plan.by_name[name]
    return edit_at(data, cell.sheet, cell.address, edit)


def edit_at(data: bytes, title: str, address: str, edit: Edit) -> bytes:
    """Return the workbook with one cell edited."""

    def find(root: Any) -> None:
        edit(next(cell for cell in root.iter(f"{{{MAIN}}}c") if cell.get("r") == address))

    return edit_sheet(data, title, find)


# ---------------------------------------------------------------- single cells


def type_over(data: bytes, plan: Plan, name: str, value: Any) -> bytes:
    """Type a value into any cell, locked or not; None clears it."""
    return edit_cell(data, plan, name, lambda cell: put(cell, value))


def set_formula(data: bytes, plan: Plan, name: str, formula: str, stored: str = "1") -> bytes:
    """Type a formula into a cell."""

    def edit(cell: Any) -> None:
        put(cell, None)
        etree.SubElement(cell, f"{{{MAIN}}}f").text = formula.removeprefix("=")
        etree.SubElement(cell, f"{{{MAIN}}}v").text = stored

    return edit_cell(data, plan, name, edit)


def store(data: bytes, plan: Plan, name: str, value: str) -> bytes:
    """Change the stored value of a formula cell, as a program does that does not recalculate."""

    def edit(cell: Any) -> None:
        cell.find(f"{{{MAIN}}}v").text = value

    return edit_cell(data, plan, name, edit)


def set_raw(data: bytes, plan: Plan, name: str, kind: str | None, content: str) -> bytes:
    """Write the stored form of a cell as it is."""

    def edit(cell: Any) -> None:
        put(cell, None)
        if kind is not None:
            cell.set("t", kind)
        etree.SubElement(cell, f"{{{MAIN}}}v").text = content

    return edit_cell(data, plan, name, edit)


def wear_style_of(data: bytes, plan: Plan, name: str, other: str) -> bytes:
    """Give a cell the format of another one, lock included, as pasting does."""
    styles: list[str] = []
    source = plan.by_name[other]
    data = edit_at(data, source.sheet, source.address, lambda cell: styles.append(cell.get("s", "0")))
    return edit_cell(data, plan, name, lambda cell: cell.set("s", styles[0]))


def drop_rule(data: bytes, plan: Plan, name: str) -> bytes:
    """Take the entry rule off one cell, as pasting does; its neighbours keep theirs."""
    cell = plan.by_name[name]

    def edit(root: Any) -> None:
        for rule in root.iter(f"{{{MAIN}}}dataValidation"):
            kept = [at for area in rule.get("sqref").split() for at in _cells(area) if at != cell.address]
            rule.set("sqref", " ".join(kept))

    return edit_sheet(data, cell.sheet, edit)


def edit_rule(data: bytes, plan: Plan, name: str, edit: Edit) -> bytes:
    """Edit the entry rule of one cell, for all the cells that share it."""
    cell = plan.by_name[name]

    def find(root: Any) -> None:
        for rule in root.iter(f"{{{MAIN}}}dataValidation"):
            if any(cell.address in _cells(area) for area in rule.get("sqref").split()):
                edit(rule)

    return edit_sheet(data, cell.sheet, find)


def _cells(area: str) -> list[str]:
    first, _, last = area.replace("$", "").partition(":")
    (top, left), (bottom, right) = read_address(first), read_address(last or first)
    return [
        f"{get_column_letter(column)}{row}"
        for row in range(top, bottom + 1)
        for column in range(left, right + 1)
    ]


# ---------------------------------------------------------------- rows


def insert_row(data: bytes, title: str, row: int) -> bytes:
    """Insert an empty row, as a spreadsheet program does: what stood there and below goes down."""
    data = edit_sheet(data, title, lambda root: _shift(root, row, 1))
    return _shift_names(data, title, row, 1)


def delete_row(data: bytes, title: str, row: int) -> bytes:
    """Delete a row, as a spreadsheet program does: what stood below goes up, names of it break."""

    def edit(root: Any) -> None:
        lines = root.find(f"{{{MAIN}}}sheetData")
        for line in list(lines):
            if int(line.get("r")) == row:
                lines.remove(line)
        _shift(root, row, -1)

    return _shift_names(edit_sheet(data, title, edit), title, row, -1)


def _shift(root: Any, row: int, step: int) -> None:
    for line in root.find(f"{{{MAIN}}}sheetData"):
        number = int(line.get("r"))
        if number < row:
            continue
        line.set("r", str(number + step))
        for cell in line:
            _, column = read_address(cell.get("r"))
            cell.set("r", f"{get_column_letter(column)}{number + step}")
    for element in root.iter():
        for attribute in ("sqref", "ref"):
            if attribute in element.attrib and element.tag != f"{{{MAIN}}}dimension":
                moved = [_shift_area(area, row, step) for area in element.get(attribute).split()]
                element.set(attribute, " ".join(area for area in moved if area))
    for parent in list(root.iter()):
        for child in list(parent):
            if "" in (child.get("ref", "kept"), child.get("sqref", "kept")):
                parent.remove(child)


def _shift_area(area: str, row: int, step: int) -> str:
    first, _, last = area.partition(":")
    corners = [read_address(corner.replace("$", "")) for corner in (first, last or first)]
    (top, left), (bottom, right) = corners
    if step > 0:
        top, bottom = top + (top >= row) * step, bottom + (bottom >= row) * step
    else:
        if top == bottom == row:
            return ""
        top, bottom = top - (top > row), bottom - (bottom >= row)
    shifted = f"{get_column_letter(left)}{top}"
    return f"{shifted}:{get_column_letter(right)}{bottom}" if last else shifted


def _shift_names(data: bytes, title: str, row: int, step: int) -> bytes:
    def edit(root: Any) -> None:
        for element in root.iter(f"{{{MAIN}}}definedName"):
            target = read_target(element.text)
            if target is None or target[0] != title:
                continue
            sheet, _, area = element.text.rpartition("!")
            moved = _shift_area(area.replace("$", ""), row, step)
            element.text = f"{sheet}!{_fixed(moved) if moved else BROKEN}"

    return edit_part(data, BOOK, edit)


def _fixed(area: str) -> str:
    return re.sub(r"([A-Z]+)([0-9]+)", r"$\1$\2", area)


# ---------------------------------------------------------------- names


def edit_names(data: bytes, edit: Callable[[str, str], str | None]) -> bytes:
    """Change what names stand for: name and text to new text, None to delete the name."""

    def each(root: Any) -> None:
        names = root.find(f"{{{MAIN}}}definedNames")
        for element in list(names):
            if element.get("localSheetId") is not None:
                continue
            text = edit(element.get("name"), element.text)
            if text is None:
                names.remove(element)
            else:
                element.text = text

    return edit_part(data, BOOK, each)


def drop_names(data: bytes, *dropped: str) -> bytes:
    """Delete names."""
    return edit_names(data, lambda name, text: None if name in dropped else text)


def point_name(data: bytes, name: str, target: str) -> bytes:
    """Let a name stand for something else."""
    return edit_names(data, lambda found, text: target if found == name else text)


def cut_and_paste(data: bytes, plan: Plan, name: str, title: str, address: str) -> bytes:
    """Cut a cell and paste it elsewhere, as a program does: value, format and name go with it."""
    source = plan.by_name[name]
    taken: list[Any] = []

    def cut(cell: Any) -> None:
        taken.extend([dict(cell.attrib), [etree.tostring(child) for child in cell]])
        put(cell, None)
        cell.attrib.pop("s", None)

    def paste(cell: Any) -> None:
        put(cell, None)
        attributes, children = taken
        for key in ("s", "t"):
            if key in attributes:
                cell.set(key, attributes[key])
        cell.extend(etree.fromstring(child) for child in children)

    data = edit_at(data, source.sheet, source.address, cut)
    data = edit_at(data, title, address, paste)
    target = f"'{title}'!{_fixed(address)}"
    there = plan.by_place.get((title, address))

    def follow(found: str, text: str) -> str:
        if found == name:
            return target
        return f"'{title}'!{BROKEN}" if there is not None and found == there.name else text

    return edit_names(data, follow)


# ---------------------------------------------------------------- sheets


def rename_sheet(data: bytes, title: str, new: str) -> bytes:
    """Rename a sheet, as a program does: the names follow."""

    def edit(root: Any) -> None:
        for sheet in root.iter(f"{{{MAIN}}}sheet"):
            if sheet.get("name") == title:
                sheet.set("name", new)
        for element in root.iter(f"{{{MAIN}}}definedName"):
            target = read_target(element.text)
            if target is not None and target[0] == title:
                element.text = f"'{new}'!{element.text.rpartition('!')[2]}"

    return edit_part(data, BOOK, edit)


def delete_sheet(data: bytes, title: str) -> bytes:
    """Delete a sheet, as a program does: the names of its cells break."""
    parts = unpack(data)
    part = sheet_parts(parts)[title]

    def edit_book(root: Any) -> None:
        sheets = root.find(f"{{{MAIN}}}sheets")
        number = next(n for n, sheet in enumerate(sheets) if sheet.get("name") == title)
        gone = sheets[number]
        identifiers.append(gone.get(f"{{{OFFICE}}}id"))
        sheets.remove(gone)
        names = root.find(f"{{{MAIN}}}definedNames")
        for element in list(names):
            local = element.get("localSheetId")
            target = read_target(element.text)
            if local is not None:
                if int(local) == number:
                    names.remove(element)
                elif int(local) > number:
                    element.set("localSheetId", str(int(local) - 1))
            elif target is not None and target[0] == title:
                element.text = f"{BROKEN}{element.text.rpartition('!')[2]}"
        for view in root.iter(f"{{{MAIN}}}workbookView"):
            view.attrib.pop("activeTab", None)
            view.attrib.pop("firstSheet", None)

    identifiers: list[str] = []
    data = edit_part(data, BOOK, edit_book)
    data = edit_part(data, BOOK_RELATIONS, lambda root: _remove(root, "Id", identifiers[0]))
    data = edit_part(data, TYPES, lambda root: _remove(root, "PartName", f"/{part}"))
    parts = unpack(data)
    folder, _, file = part.rpartition("/")
    for gone in (part, f"{folder}/_rels/{file}.rels"):
        parts.pop(gone, None)
    return pack(parts)


def _remove(root: Any, attribute: str, value: str) -> None:
    for element in list(root):
        if element.get(attribute) == value:
            root.remove(element)


def add_sheet(data: bytes, title: str, xml: str = EMPTY_SHEET) -> bytes:
    """Add a sheet behind the others."""

    def edit_book(root: Any) -> None:
        sheets = root.find(f"{{{MAIN}}}sheets")
        number = max(int(sheet.get("sheetId")) for sheet in sheets) + 1
        added = etree.SubElement(sheets, f"{{{MAIN}}}sheet", name=title, sheetId=str(number))
        added.set(f"{{{OFFICE}}}id", "rIdAdded")

    def edit_relations(root: Any) -> None:
        etree.SubElement(
            root, f"{{{PACKAGE}}}Relationship", Id="rIdAdded", Type=f"{OFFICE}/worksheet",
            Target="worksheets/added.xml",
        )

    def edit_types(root: Any) -> None:
        etree.SubElement(
            root, f"{{{CONTENT}}}Override", PartName="/xl/worksheets/added.xml", ContentType=WORKSHEET_TYPE
        )

    data = edit_part(data, BOOK, edit_book)
    data = edit_part(data, BOOK_RELATIONS, edit_relations)
    data = edit_part(data, TYPES, edit_types)
    return pack({**unpack(data), "xl/worksheets/added.xml": xml.encode()})


def set_visible(data: bytes, title: str, state: str) -> bytes:
    """Show or hide a sheet."""

    def edit(root: Any) -> None:
        for sheet in root.iter(f"{{{MAIN}}}sheet"):
            if sheet.get("name") == title:
                sheet.set("state", state)

    return edit_part(data, BOOK, edit)


def drop_element(data: bytes, title: str, word: str) -> bytes:
    """Take an element out of a sheet, such as its protection or its entry rules."""

    def edit(root: Any) -> None:
        for element in root.findall(f"{{{MAIN}}}{word}"):
            root.remove(element)

    return edit_sheet(data, title, edit)


# ---------------------------------------------------------------- the birth record


def edit_birth(data: bytes, key: str, edit: Callable[[str], str | None]) -> bytes:
    """Change one row of the birth record; None deletes what stands behind the key."""
    from sheetgen.plan import BIRTH_SHEET

    parts = unpack(data)
    texts = [
        "".join(run.text or "" for run in item.iter(f"{{{MAIN}}}t"))
        for item in etree.fromstring(parts["xl/sharedStrings.xml"])
    ]

    def change(root: Any) -> None:
        for line in root.find(f"{{{MAIN}}}sheetData"):
            cells = list(line)
            if len(cells) > 1 and _text(cells[0], texts) == key:
                text = edit(_text(cells[1], texts))
                put(cells[1], text)

    return edit_sheet(data, BIRTH_SHEET, change)


def _text(cell: Any, texts: list[str]) -> str:
    value = cell.findtext(f"{{{MAIN}}}v")
    if cell.get("t") == "s":
        return texts[int(value)]
    return value or "".join(run.text or "" for run in cell.iter(f"{{{MAIN}}}t"))
