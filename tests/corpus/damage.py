"""Faults of the file: what people, pasting and other programs do to a workbook."""

from __future__ import annotations

import io
import random
from typing import Any

import openpyxl
from lxml import etree

from sheetgen.fill import MAIN, sheet_parts
from sheetgen.plan import BIRTH_SHEET, PlannedCell
from tests.corpus.fault import Fault, Kind, fault
from tests.corpus.readings import READ, Copy
from tests.returned import edits


def results(copy: Copy) -> list[PlannedCell]:
    """Return the result cells."""
    return [cell for cell in copy.plan.cells if cell.formula and cell.name]


def result(copy: Copy, chance: random.Random) -> PlannedCell:
    """Return one result cell."""
    return chance.choice(results(copy))


def formula_changed(copy: Copy, chance: random.Random) -> Fault | None:
    """A formula that somebody adds a little to."""
    cell = result(copy, chance)
    text = f"({cell.formula.removeprefix('=')}){chance.choice(['+0.001', '*1.01', '+0', '-0.0005'])}"
    return fault("CELL02", cell.name, cell.key,
                 edit=lambda data: edits.set_formula(data, copy.plan, cell.name, text))


def formula_of_another_row(copy: Copy, chance: random.Random) -> Fault | None:
    """A formula copied from another cylinder, bearing or bank."""
    cell = result(copy, chance)
    others = [other for other in copy.cells(cell.key) if other.formula != cell.formula]
    if not others:
        return None
    text = chance.choice(others).formula
    return fault("CELL02", cell.name, cell.key,
                 edit=lambda data: edits.set_formula(data, copy.plan, cell.name, text))


def typed_over(copy: Copy, chance: random.Random) -> Fault | None:
    """A formula replaced by a value."""
    cell, value = result(copy, chance), round(chance.uniform(0.01, 90), 3)
    return fault("CELL03", cell.name, cell.key,
                 edit=lambda data: edits.type_over(data, copy.plan, cell.name, value))


def formula_deleted(copy: Copy, chance: random.Random) -> Fault | None:
    """A formula deleted."""
    cell = result(copy, chance)
    return fault("CELL04", cell.name, cell.key,
                 edit=lambda data: edits.type_over(data, copy.plan, cell.name, None))


def _sheet(copy: Copy, chance: random.Random) -> str:
    return chance.choice([sheet.template.title for sheet in copy.plan.sheets])


def _row(copy: Copy, chance: random.Random) -> tuple[str, int]:
    cell = chance.choice([cell for cell in copy.plan.cells if cell.name])
    return cell.sheet, cell.row


def row_inserted(copy: Copy, chance: random.Random) -> Fault | None:
    """A row inserted above a row of cells."""
    title, row = _row(copy, chance)
    return fault("CELL10", title, edit=lambda data: edits.insert_row(data, title, row))


def row_deleted(copy: Copy, chance: random.Random) -> Fault | None:
    """A row of cells deleted."""
    title, row = _row(copy, chance)
    return fault("CELL05", title, edit=lambda data: edits.delete_row(data, title, row))


def column_inserted(copy: Copy, chance: random.Random) -> Fault | None:
    """A column inserted at the left of a column of cells."""
    cell = chance.choice([cell for cell in copy.plan.cells if cell.name])
    return fault("CELL10", cell.sheet, edit=lambda data: insert_column(data, cell.sheet, cell.column))


def insert_column(data: bytes, title: str, column: int) -> bytes:
    """Insert an empty column: what stood there and at its right goes right, names with it."""
    from openpyxl.utils import get_column_letter

    from validators.places import read_address, read_target

    def address(text: str) -> str:
        row, at = read_address(text)
        return f"{get_column_letter(at + (at >= column))}{row}"

    def edit(root: Any) -> None:
        for cell in root.iter(f"{{{MAIN}}}c"):
            cell.set("r", address(cell.get("r")))
        for element in root.iter():
            for attribute in ("sqref", "ref"):
                if attribute in element.attrib:
                    element.set(attribute, " ".join(
                        ":".join(address(corner) for corner in area.split(":"))
                        for area in element.get(attribute).split()
                    ))

    def follow(name: str, text: str) -> str:
        target = read_target(text)
        if target is None or target[0] != title:
            return text
        sheet, _, area = text.rpartition("!")
        corners = [address(corner) for corner in area.replace("$", "").split(":")]
        return f"{sheet}!" + ":".join(edits._fixed(corner) for corner in corners)

    return edits.edit_names(edits.edit_sheet(data, title, edit), follow)


def sheet_renamed(copy: Copy, chance: random.Random) -> Fault | None:
    """A sheet with another name."""
    title = _sheet(copy, chance)
    new = f"{title} {chance.choice(['final', '2', 'new'])}"[:31]
    return fault("CELL01", new, edit=lambda data: edits.rename_sheet(data, title, new))


def sheet_deleted(copy: Copy, chance: random.Random) -> Fault | None:
    """A sheet deleted."""
    title = _sheet(copy, chance)
    return fault("CELL01", title, edit=lambda data: edits.delete_sheet(data, title))


def sheet_copied(copy: Copy, chance: random.Random) -> Fault | None:
    """A sheet copied beside the first one."""
    title = _sheet(copy, chance)
    new = f"{title} (2)"

    def edit(data: bytes) -> bytes:
        parts = edits.unpack(data)
        root = etree.fromstring(parts[sheet_parts(parts)[title]])
        for word in ("drawing", "legacyDrawing"):
            for element in root.findall(f"{{{MAIN}}}{word}"):
                root.remove(element)
        return edits.add_sheet(data, new, etree.tostring(root).decode())

    return fault("CELL11", new, edit=edit)


def sheets_reordered(copy: Copy, chance: random.Random) -> Fault | None:
    """Sheets in another order: no fault, for cells are found by name."""
    number = chance.randrange(1, len(copy.plan.sheets))

    def edit(root: Any) -> None:
        sheets = root.find(f"{{{MAIN}}}sheets")
        count = len(sheets)
        first = sheets[0]
        sheets.remove(first)
        sheets.insert(number, first)
        order = [*range(1, number + 1), 0, *range(number + 1, count)]
        for element in root.iter(f"{{{MAIN}}}definedName"):
            local = element.get("localSheetId")
            if local is not None:
                element.set("localSheetId", str(order.index(int(local))))

    return Fault(frozenset(), edit=lambda data: edits.edit_part(data, edits.BOOK, edit))


def sheet_hidden(copy: Copy, chance: random.Random) -> Fault | None:
    """A sheet hidden; never the first, which is the one that is open and that no program hides."""
    title = chance.choice([sheet.template.title for sheet in copy.plan.sheets[1:]])
    state = chance.choice(["hidden", "veryHidden"])
    return fault("CELL11", title, edit=lambda data: edits.set_visible(data, title, state))


def name_broken(copy: Copy, chance: random.Random) -> Fault | None:
    """A name deleted, or pointing at nothing."""
    cell = chance.choice([cell for cell in copy.plan.cells if cell.name])
    if chance.random() < 0.5:
        return fault("CELL05", cell.name, edit=lambda data: edits.drop_names(data, cell.name))
    return fault("CELL05", cell.name,
                 edit=lambda data: edits.point_name(data, cell.name, f"'{cell.sheet}'!#REF!"))


def name_elsewhere(copy: Copy, chance: random.Random) -> Fault | None:
    """A name that points at a neighbouring cell."""
    cell = chance.choice([cell for cell in copy.plan.cells if cell.name and cell.row > 1])
    place = edits._fixed(f"{cell.address.rstrip('0123456789')}{cell.row + chance.choice([-1, 1])}")
    return fault("CELL05 CELL10", cell.name, edit=lambda data: edits.point_name(
        data, cell.name, f"'{cell.sheet}'!{place}"))


def rule_lost(copy: Copy, chance: random.Random) -> Fault | None:
    """An entry cell without its rule."""
    cell = chance.choice(copy.cells(chance.choice(list(READ))))
    return fault("CELL07", cell.name, cell.key, edit=lambda data: edits.drop_rule(data, copy.plan, cell.name))


def rule_widened(copy: Copy, chance: random.Random) -> Fault | None:
    """An entry rule that accepts a wider range, or everything after a warning."""
    cell = chance.choice(copy.cells(chance.choice(list(READ))))
    warned = chance.random() < 0.5

    def widen(rule: Any) -> None:
        if warned:
            rule.set("errorStyle", "warning")
        else:
            upper = rule.find(f"{{{MAIN}}}formula2")
            upper.text = repr(float(upper.text) * 10)

    return fault("CELL07", cell.name, cell.key, cell.sheet,
                 edit=lambda data: edits.edit_rule(data, copy.plan, cell.name, widen))


def lock_lost(copy: Copy, chance: random.Random) -> Fault | None:
    """A formula cell open to typing."""
    cell = result(copy, chance)
    entry = next(other.name for other in copy.plan.cells if other.is_input)
    return fault("CELL06", cell.name, cell.key, cell.sheet,
                 edit=lambda data: edits.wear_style_of(data, copy.plan, cell.name, entry))


def protection_lifted(copy: Copy, chance: random.Random) -> Fault | None:
    """A sheet without protection."""
    title = _sheet(copy, chance)
    return fault("CELL06", title, edit=lambda data: edits.drop_element(data, title, "sheetProtection"))


def limit_moved(copy: Copy, chance: random.Random) -> Fault | None:
    """A limit moved by a tenth."""
    cells = [
        cell for cell in copy.plan.cells
        if cell.is_input and copy.plan.catalogue.entries[cell.key].of and isinstance(cell.value, int | float)
        and cell.value
    ]
    cell = chance.choice(cells)
    return fault("CELL09", cell.name, typed={cell.name: float(cell.value) * chance.choice([0.9, 1.1])})


def target_changed(copy: Copy, chance: random.Random) -> Fault | None:
    """A target, or another figure that was given, changed."""
    cell = chance.choice([copy.plan.by_name[name] for name in (
        "piston_clearance_target", "main_clearance_target", "ratio_target", "guard_factor", "stroke_nominal",
        "ring_gap_factor_top")])
    return fault("CELL09", cell.name, typed={cell.name: float(cell.value) * chance.choice([0.96, 1.04])})


def printed_changed(copy: Copy, chance: random.Random) -> Fault | None:
    """A constant or a printed text changed."""
    entries = copy.plan.catalogue.entries
    constants = [cell for cell in copy.plan.cells if cell.name and entries[cell.key].kind == "constant"]
    cell = chance.choice([cell for cell in constants if isinstance(cell.value, int | float)])
    return fault("CELL08", cell.name, edit=lambda data: edits.type_over(
        data, copy.plan, cell.name, float(cell.value) * 1.02 + 0.001))


def extra_sheet(copy: Copy, chance: random.Random) -> Fault | None:
    """A sheet of somebody's own."""
    title = chance.choice(["Notes", "Sheet1", "my sums"])
    return fault("CELL11", title, edit=lambda data: edits.add_sheet(data, title))


def link(copy: Copy, chance: random.Random) -> Fault | None:
    """A reading linked to another workbook."""
    cell = chance.choice(copy.cells(chance.choice(list(READ))))
    return fault("FILE04", edit=lambda data: edits.set_formula(
        data, copy.plan, cell.name, "'[readings.xlsx]List'!B7"))


def macros(copy: Copy, chance: random.Random) -> Fault | None:
    """Macros in the file."""
    return fault("FILE04", edit=lambda data: edits.pack(
        {**edits.unpack(data), "xl/vbaProject.bin": chance.randbytes(200)}))


def birth_lost(copy: Copy, chance: random.Random) -> Fault | None:
    """The hidden sheet deleted."""
    return fault("BIRTH01", edit=lambda data: edits.delete_sheet(data, BIRTH_SHEET))


def stale(copy: Copy, chance: random.Random) -> Fault | None:
    """A stored value that the entries do not give."""
    cell = chance.choice(copy.cells("bore_size") + copy.cells("piston_clearance"))
    return fault("CALC02", cell.name, edit=lambda data: edits.store(data, copy.plan, cell.name, "0.0123"))


def values_dropped(copy: Copy, chance: random.Random) -> Fault | None:
    """Saved by a script that keeps no values."""

    def edit(data: bytes) -> bytes:
        book, out = openpyxl.load_workbook(io.BytesIO(data)), io.BytesIO()
        book.save(out)
        return out.getvalue()

    return fault("CALC01", edit=edit)


def formula_in_entry(copy: Copy, chance: random.Random) -> Fault | None:
    """A formula where a reading belongs."""
    one, other = chance.sample(copy.cells(chance.choice(list(READ))), 2)
    return fault("READ08", one.name, edit=lambda data: edits.set_formula(
        data, copy.plan, one.name, f"{other.name}+0.002", "86"))


def respelt(copy: Copy, chance: random.Random) -> Fault | None:
    """Formulas spelt another way by another program: no fault."""
    title = _sheet(copy, chance)

    def respell(root: Any) -> None:
        for formula in root.iter(f"{{{MAIN}}}f"):
            pieces = formula.text.split('"')
            pieces[::2] = [
                piece.replace("IF(", "if( ").replace(",", " , ").replace("COUNT(", "Count(")
                for piece in pieces[::2]
            ]
            text = '"'.join(pieces)
            formula.text = text.upper() if len(pieces) == 1 else text

    return Fault(frozenset(), edit=lambda data: edits.edit_sheet(data, title, respell))


DAMAGE = {
    "formula": Kind("formula changed", formula_changed),
    "formula-row": Kind("formula of another row", formula_of_another_row),
    "value": Kind("formula replaced by a value", typed_over),
    "deleted": Kind("formula deleted", formula_deleted),
    "row-in": Kind("row inserted", row_inserted), "row-out": Kind("row deleted", row_deleted),
    "column-in": Kind("column inserted", column_inserted),
    "renamed": Kind("sheet renamed", sheet_renamed), "sheet-out": Kind("sheet deleted", sheet_deleted),
    "sheet-copied": Kind("sheet copied", sheet_copied), "hidden": Kind("sheet hidden", sheet_hidden),
    "extra": Kind("sheet added", extra_sheet), "name": Kind("name deleted or broken", name_broken),
    "name-elsewhere": Kind("name points at another cell", name_elsewhere),
    "rule": Kind("entry rule lost", rule_lost), "rule-wider": Kind("entry rule widened", rule_widened),
    "lock": Kind("lock lost", lock_lost),
    "protection": Kind("protection lifted", protection_lifted),
    "limit": Kind("limit moved", limit_moved), "target": Kind("target changed", target_changed),
    "printed": Kind("constant changed", printed_changed),
    "link": Kind("link to another workbook", link), "macros": Kind("macros", macros),
    "birth": Kind("birth record deleted", birth_lost), "stale": Kind("stored value stale", stale),
    "no-values": Kind("no values stored", values_dropped),
    "entry-formula": Kind("formula in an entry", formula_in_entry),
}
NO_FAULT = {
    "reordered": Kind("sheets in another order", sheets_reordered),
    "respelt": Kind("formulas spelt another way", respelt),
}
