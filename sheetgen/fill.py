"""A copy of a workbook with entries typed in, as a person would leave it: values stored, all else kept."""

from __future__ import annotations

import datetime
import io
import zipfile
from collections.abc import Mapping
from typing import Any

from lxml import etree

from sheetgen.errors import DefinitionError, nearest
from sheetgen.plan import Plan
from sheetgen.workbook import store_values

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006/relationships"
DAY_ZERO = datetime.date(1899, 12, 30)
Typed = float | int | str | datetime.date | None


def fill_workbook(
    data: bytes, plan: Plan, entries: Mapping[str, Typed], *, recalculate: bool = True
) -> bytes:
    """Return a copy of an issued workbook with entries typed in.

    Parameters
    ----------
    data : bytes
        The workbook as it was issued.
    plan : Plan
        What it was written from.
    entries : mapping
        Name of an input cell to what is typed; None clears the cell.
    recalculate : bool
        Whether the stored values of formula cells follow, as in a program that recalculates.

    Raises
    ------
    DefinitionError
        A name that is no entry of this workbook.
    """
    inputs = {cell.name: cell for cell in plan.cells if cell.is_input}
    placed: dict[tuple[str, str], Typed] = {}
    for name, value in entries.items():
        if name not in inputs:
            raise DefinitionError(name, f"this is no entry of the workbook{nearest(name, inputs)}")
        placed[inputs[name].sheet, inputs[name].address] = value
    changed = type_in(data, placed)
    return store_values(changed) if recalculate else changed


def type_in(data: bytes, placed: Mapping[tuple[str, str], Any]) -> bytes:
    """Return a copy of a workbook with values typed at sheet and address; formulas are not touched.

    Raises
    ------
    DefinitionError
        A sheet or cell that the file does not have.
    """
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        parts = {item.filename: archive.read(item) for item in archive.infolist()}
    where = sheet_parts(parts)
    by_part: dict[str, dict[str, Any]] = {}
    for (sheet, address), value in placed.items():
        if sheet not in where:
            raise DefinitionError(sheet, f"there is no such sheet{nearest(sheet, where)}")
        by_part.setdefault(where[sheet], {})[address] = value
    for part, values in by_part.items():
        root = etree.fromstring(parts[part])
        cells = {cell.get("r"): cell for cell in root.iter(f"{{{MAIN}}}c")}
        for address, value in values.items():
            if address not in cells:
                raise DefinitionError(f"{part} {address}", "there is no such cell to type into")
            put(cells[address], value)
        parts[part] = etree.tostring(root, xml_declaration=True, encoding="UTF-8", standalone=True)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return out.getvalue()


def sheet_parts(parts: Mapping[str, bytes]) -> dict[str, str]:
    """Return the part that holds each sheet, by title."""
    relations = etree.fromstring(parts["xl/_rels/workbook.xml.rels"])
    targets = {item.get("Id"): item.get("Target") for item in relations.iter(f"{{{PACKAGE}}}Relationship")}
    book = etree.fromstring(parts["xl/workbook.xml"])
    return {
        sheet.get("name"): "xl/" + targets[sheet.get(f"{{{OFFICE}}}id")].removeprefix("/xl/")
        for sheet in book.iter(f"{{{MAIN}}}sheet")
    }


def put(cell: Any, value: Typed) -> None:
    """Type a value into a cell element; what it held before is gone."""
    for child in list(cell):
        cell.remove(child)
    cell.attrib.pop("t", None)
    if value is None or value == "":
        return
    if isinstance(value, bool):
        cell.set("t", "b")
        etree.SubElement(cell, f"{{{MAIN}}}v").text = str(int(value))
    elif isinstance(value, datetime.date):
        etree.SubElement(cell, f"{{{MAIN}}}v").text = str((value - DAY_ZERO).days)
    elif isinstance(value, int | float):
        etree.SubElement(cell, f"{{{MAIN}}}v").text = repr(float(value))
    else:
        cell.set("t", "inlineStr")
        text = etree.SubElement(etree.SubElement(cell, f"{{{MAIN}}}is"), f"{{{MAIN}}}t")
        text.text = value
        text.set("{http://www.w3.org/XML/1998/namespace}space", "preserve")
