"""An issued workbook opens without a question, and shows what is stored in it.

The office program forgives much, so its silence alone says little: the package is also held against
the rules of the file format, and every cell that is shown against the cell that is stored.
"""

from __future__ import annotations

import io
import math
import re
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from lxml import etree
from openpyxl.utils.cell import coordinate_to_tuple, range_boundaries

from sheetgen.fill import sheet_parts
from sheetgen.look import look, tone_format
from sheetgen.plan import BIRTH_SHEET
from tests.crosscheck.office import Job, OfficeError, Outcome
from tests.crosscheck.package_rules import complaints
from tests.crosscheck.sheet_rules import MAIN
from tests.crosscheck.workbooks import ALTERNATING, PRESETS, issued, plan_of, recomputer_of
from validators.agree import agrees
from validators.returned import ReturnedWorkbook, read_returned

pytestmark = pytest.mark.office

SMALLEST = PRESETS[0]
STORED_DIGITS = 1e-15


def parts_of(data: bytes) -> dict[str, bytes]:
    """Return the parts of a workbook."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def packed(parts: dict[str, bytes]) -> bytes:
    """Return a workbook of some parts."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return stream.getvalue()


# ---------------------------------------------------------------- the file format


@pytest.mark.parametrize(("preset", "family"), PRESETS)
def test_a_strict_program_finds_nothing_to_repair(preset, family):
    assert complaints(issued(preset, family)) == []


BOOK, TYPES, STYLES = "xl/workbook.xml", "[Content_Types].xml", "xl/styles.xml"
TEXTS, LONG = "xl/sharedStrings.xml", 40_000
Parts = dict[str, bytes]
Plant = Callable[[Parts], None]


def replaced(part: str, pattern: str, new: str) -> Plant:
    """Return a change of the first place in a part that fits a pattern."""

    def plant(parts: Parts) -> None:
        text, count = re.subn(pattern, new, parts[part].decode(), count=1)
        assert count, f"nothing in {part} fits {pattern}"
        parts[part] = text.encode()

    return plant


def edited(tag: str, act: Callable[[list[etree._Element]], None], part: str = "") -> Plant:
    """Return a change of the elements of one tag, on the first sheet that has three of them."""

    def plant(parts: Parts) -> None:
        candidates = [part] if part else list(sheet_parts(parts).values())
        for name in candidates:
            root = etree.fromstring(parts[name])
            found = list(root.iter(f"{MAIN}{tag}"))
            if part or len(found) > 2:
                act(found)
                parts[name] = etree.tostring(root, xml_declaration=True, encoding="UTF-8")
                return
        raise AssertionError(f"no sheet has three of {tag}")

    return plant


def set_to(tag: str, number: int, attribute: str, value: str, part: str = "") -> Plant:
    """Return a change of one attribute."""
    return edited(tag, lambda found: found[number].set(attribute, value), part)


def like(tag: str, attribute: str, part: str = "", change: Callable[[str], str] = str) -> Plant:
    """Return a change that makes an attribute of the second element that of the first."""
    return edited(
        tag, lambda found: found[1].set(attribute, change(found[0].get(attribute, ""))), part
    )


def text_of(tag: str, text: str, part: str = "") -> Plant:
    """Return a change of the text of the first element of a tag."""

    def act(found: list[etree._Element]) -> None:
        found[0].text = text

    return edited(tag, act, part)


def without(part: str) -> Plant:
    """Return the loss of a part."""

    def plant(parts: Parts) -> None:
        del parts[part]

    return plant


def added(part: str, content: bytes) -> Plant:
    """Return the gain of a part."""
    return lambda parts: parts.update({part: content})


def rule_list(found: list[etree._Element]) -> None:
    """Make the first entry rule a list that is too long."""
    found[0].set("type", "list")
    for child in list(found[0]):
        found[0].remove(child)
    etree.SubElement(found[0], f"{MAIN}formula1").text = f'"{"x" * 256}"'


def hide_a_value(found: list[etree._Element]) -> None:
    """Put a value into the last cell of the first merged area."""
    last = found[0].get("ref", "").split(":")[1]
    root = found[0].getroottree().getroot()
    cell = next(cell for cell in root.iter(f"{MAIN}c") if cell.get("r") == last)
    etree.SubElement(cell, f"{MAIN}v").text = "1"


def earlier(found: list[etree._Element]) -> None:
    """Put the sheet's protection before its cells."""
    root = found[0].getroottree().getroot()
    root.insert(0, root.find(f"{MAIN}sheetProtection"))


REFERRED = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
SHEET = "xl/worksheets/sheet2.xml"
FAULTS: dict[str, tuple[Plant, str]] = {
    "no styles": (without(STYLES), "leads to xl/styles.xml, which is not there"),
    "a part cut off": (replaced(SHEET, "</worksheet>", ""), "Premature end of data"),
    "a part twice": (added(SHEET.upper(), b"<a/>"), "twice in the package"),
    "a part of no type": (added("xl/b.bin", b""), "no content type"),
    "a part of another type": (
        replaced(TYPES, r"worksheet\+xml", "chartsheet+xml"), "that of another kind of part",
    ),
    "a part nobody leads to": (added("xl/other.xml", b"<a/>"), "nothing leads to it"),
    "a reference to nothing": (set_to("sheet", 0, REFERRED, "rId999", BOOK), "uses rId999"),
    "a sheet with a slash": (set_to("sheet", 0, "name", "Bores/2", BOOK), "no legal name"),
    "a sheet name too long": (set_to("sheet", 0, "name", "b" * 32, BOOK), "no legal name"),
    "a sheet twice": (like("sheet", "name", BOOK, str.upper), ": twice"),
    "a hidden sheet in front": (
        set_to("workbookView", 0, "activeTab", "999", BOOK), "cannot be seen",
    ),
    "a name twice": (like("definedName", "name", BOOK, str.upper), ": twice"),
    "a name like a cell": (set_to("definedName", 0, "name", "cr1", BOOK), "cr1: not legal"),
    "a name of nothing": (text_of("definedName", "#REF!", BOOK), "#REF! is no area"),
    "a name of no sheet": (text_of("definedName", "'Gone'!$B$2", BOOK), "is on a sheet that"),
    "elements in disorder": (edited("row", earlier), "an order that is not allowed"),
    "rows in disorder": (like("row", "r"), "out of order"),
    "a row too high": (set_to("row", 0, "ht", "410"), "too high"),
    "cells in disorder": (like("c", "r"), "out of order in row"),
    "a format not there": (set_to("c", 0, "s", "99999"), "a format that is not there"),
    "a text not there": (
        replaced(SHEET, r't="s"><v>\d+<', 't="s"><v>99999<'), "text number '99999'",
    ),
    "a text too long": (
        replaced(TEXTS, "<t[^>]*>", f"<t>{'x' * LONG}"), "a text of 4",
    ),
    "a formula too long": (text_of("f", "1+" * LONG), "a formula of"),
    "a formula with an equals sign": (text_of("f", "=1"), "a formula of"),
    "a formula with an unknown name": (
        text_of("f", "stage_missing_boxes+1"), "with stage_missing_boxes, which is not there",
    ),
    "a rule twice": (like("dataValidation", "sqref"), "has another rule"),
    "a list too long": (edited("dataValidation", rule_list), "a list of 258"),
    "a message too long": (set_to("dataValidation", 0, "error", "x" * 225), "error of 225"),
    "rules counted wrongly": (
        edited("dataValidation", lambda found: found[0].getparent().set("count", "1")),
        "entry rules are counted wrongly",
    ),
    "a conditional format of no format": (
        set_to("cfRule", 0, "dxfId", "999"), "a format that is not there",
    ),
    "two conditional formats of one rank": (like("cfRule", "priority"), "two of one rank"),
    "merged twice": (like("mergeCell", "ref"), "touches"),
    "a value under a merged area": (edited("mergeCell", hide_a_value), "a value is hidden in"),
    "a footer too long": (
        replaced(SHEET, "<oddFooter>", f"<oddFooter>{'x' * 256}"), "oddFooter of",
    ),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_a_planted_fault_is_found(fault):
    """Each rule of the file format can fail."""
    plant, told = FAULTS[fault]
    parts = parts_of(issued(*SMALLEST))
    plant(parts)
    found = complaints(packed(parts))
    assert any(told in line for line in found), found


def coloured(root: etree._Element) -> set[tuple[int, int, str]]:
    """Return row, column and word of all that a sheet colours."""
    found = set()
    for tone in root.iterfind(f"{MAIN}conditionalFormatting"):
        words = set(re.findall(r'"([^"]+)"', " ".join(tone.itertext())))
        for area in tone.get("sqref", "").split():
            left, top, right, bottom = range_boundaries(area)
            found |= {
                (row, column, word)
                for row in range(top, bottom + 1)
                for column in range(left, right + 1)
                for word in words
            }
    return found


@pytest.mark.parametrize(("preset", "family"), [SMALLEST, ALTERNATING[-1]])
def test_every_word_of_every_verdict_has_its_tone(preset, family):
    plan, parts = plan_of(preset, family), parts_of(issued(preset, family))
    toned = {
        word for tone, words in look()["tone"].items() if tone_format(tone) for word in words
    }
    seen = 0
    for title, part in sheet_parts(parts).items():
        wanted = {
            (cell.row, cell.column, word)
            for cell in plan.cells
            if cell.sheet == title and cell.role.startswith("verdict") and cell.key
            for word in plan.catalogue.words[plan.catalogue.entries[cell.key].words]
            if word in toned
        }
        missing = wanted - coloured(etree.fromstring(parts[part]))
        assert not missing, title
        seen += len(wanted)
    assert seen > 500


# ---------------------------------------------------------------- the office program


def strangers(outcome: Outcome, returned: ReturnedWorkbook) -> list[str]:
    """Return every cell that shows something else than what is stored in it."""
    found = []
    for sheet in returned.sheets:
        for address, cell in sheet.cells.items():
            row, column = coordinate_to_tuple(address)
            shown = outcome.at(sheet.title, row, column)
            stored = "" if cell.value is None else cell.value
            same = shown == stored or (
                isinstance(shown, float) and isinstance(stored, float)
                and math.isclose(shown, stored, rel_tol=STORED_DIGITS)
            )
            if not same:
                found.append(f"{sheet.title}!{address}: {shown!r} shown, {stored!r} stored")
    return found


@pytest.mark.parametrize(("preset", "family"), ALTERNATING)
def test_an_issued_workbook_opens_without_a_question_and_shows_what_is_stored(
    program, tmp_path, preset, family
):
    path = tmp_path / "issued.xlsx"
    path.write_bytes(issued(preset, family))
    [outcome] = program.run(Job(workbook=path))
    assert outcome.filter == "Calc MS Excel 2007 XML"
    assert outcome.questions == ()
    assert outcome.errors == ()
    returned = read_returned(issued(preset, family), path)
    assert list(outcome.values) == [sheet.title for sheet in returned.sheets]
    assert BIRTH_SHEET in outcome.values
    formulas = [cell for sheet in returned.sheets for cell in sheet.cells.values() if cell.formula]
    assert all(cell.kind in ("number", "text") for cell in formulas)
    assert strangers(outcome, returned) == []


def test_what_is_stored_is_what_a_full_recalculation_gives(program, tmp_path):
    path = tmp_path / "issued.xlsx"
    path.write_bytes(issued(*SMALLEST))
    stored, anew = program.run(Job(workbook=path), Job(workbook=path, recalculate=True))
    for cell in recomputer_of(*SMALLEST).results:
        place = (cell.sheet, cell.row, cell.column)
        assert agrees(stored.at(*place), anew.at(*place)), cell.name


def test_the_program_shows_a_wrong_stored_value_as_it_stands(program, tmp_path):
    """So a right value that is shown was stored right: nothing was recalculated on the way."""
    plan = plan_of(*SMALLEST)
    cell = plan.by_name["tally_total_missing"]
    parts = parts_of(issued(*SMALLEST))
    part = sheet_parts(parts)[cell.sheet]
    root = etree.fromstring(parts[part])
    held = next(item for item in root.iter(f"{MAIN}c") if item.get("r") == cell.address)
    held.find(f"{MAIN}v").text = "999"
    parts[part] = etree.tostring(root)
    path = tmp_path / "stale.xlsx"
    path.write_bytes(packed(parts))
    shown, anew = program.run(Job(workbook=path), Job(workbook=path, recalculate=True))
    place = (cell.sheet, cell.row, cell.column)
    assert (shown.at(*place), anew.at(*place) == 999) == (999, False)
    assert len(strangers(shown, read_returned(issued(*SMALLEST), path))) == 1


# ---------------------------------------------------------------- what would be noticed


def test_a_question_is_noticed(program, tmp_path):
    path, locked = tmp_path / "issued.xlsx", tmp_path / "locked.ods"
    path.write_bytes(issued(*SMALLEST))
    program.run(Job(workbook=path, saves={"ods": locked}, password="bench"))
    with pytest.raises(OfficeError, match=r"locked\.ods: .* after it asked: .*Password"):
        program.run(Job(workbook=locked))


def test_a_file_that_is_cut_off_does_not_open(program, tmp_path: Path):
    path = tmp_path / "cut.xlsx"
    data = issued(*SMALLEST)
    path.write_bytes(data[: len(data) // 2])
    with pytest.raises(OfficeError, match=r"cut\.xlsx: .* asked: .*Approve or Disapprove"):
        program.run(Job(workbook=path))
