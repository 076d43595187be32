"""The grid and the look of the sheets: nothing overlaps, nothing is cut off, pages end between blocks."""

import io

import openpyxl
import pytest

from sheetgen.build import new_build
from sheetgen.catalogue import load_catalogue
from sheetgen.formula_parts import read_formula, split_formula
from sheetgen.look import VERDICTS, look, number_format, properties, tone_format
from sheetgen.page_fit import measures
from sheetgen.paper import (
    INDENT,
    SHRUNK,
    cell_pixels,
    column_widths,
    is_shrunk,
    needs_two_lines,
    page_breaks,
    paper_size,
    print_scale,
)
from sheetgen.plan import plan_workbook
from sheetgen.planned import PlannedCell
from sheetgen.sheet_cells import HEADS, LABEL_COLUMN
from sheetgen.text_fit import AIR, PADDING, text_width, with_air, wrapped_lines
from sheetgen.workbook import areas, workbook_bytes

BUILDS = [("inline-3", "inch"), ("inline-6", "millimetre"), ("v8", "inch"), ("flat-4", "millimetre")]
LINE = 10.5


@pytest.fixture(scope="module", params=BUILDS, ids="-".join)
def plan(request):
    return plan_workbook(new_build(*request.param))


def sheets(plan):
    for sheet in plan.sheets:
        cells = [cell for cell in plan.cells if cell.sheet == sheet.template.title]
        yield sheet, cells, *measures(sheet, cells, plan.catalogue, plan.build.family)


def test_no_two_cells_touch_each_other(plan):
    """Merged cells and single ones each have their own place."""
    taken = {}
    for cell in plan.cells:
        for row in range(cell.row, cell.row + cell.rows):
            for column in range(cell.column, cell.column + cell.columns):
                place = (cell.sheet, row, column)
                assert place not in taken, (cell, taken.get(place))
                taken[place] = cell


def test_a_wrapped_text_has_the_height_it_needs(plan):
    """Labels, heads and paragraphs are not cut off."""
    roles = (
        "row_label",
        "pane_label",
        "working_label",
        "column_header",
        "element_header",
        "help",
        "text",
        "caution",
    )
    checked = 0
    for _, cells, widths, heights in sheets(plan):
        for cell in cells:
            if cell.role in roles:
                style = properties(cell.role)
                pixels = cell_pixels(cell, widths) - (INDENT if style.get("indent") else 0)
                lines = wrapped_lines(cell.value, pixels, style["font_size"], bold=bool(style.get("bold")))
                height = sum(heights[cell.row - 1 : cell.row - 1 + cell.rows])
                assert height >= lines * style["font_size"] * LINE / 10, cell
                checked += 1
    assert checked > 500


def test_a_verdict_has_room_for_every_word_of_its_list(plan):
    """On one line, if need be a little shrunk, or on two lines in a row that is high enough."""
    for _, cells, widths, heights in sheets(plan):
        for cell in cells:
            entry = plan.catalogue.entries.get(cell.key)
            if cell.role not in VERDICTS or entry is None:
                continue
            pixels = cell_pixels(cell, widths)
            two = needs_two_lines(entry, pixels, plan.catalogue)
            for word in plan.catalogue.words[entry.words]:
                bold = word in look()["tone"]["bad"]
                if two:
                    lines = wrapped_lines(word, pixels, 10, bold=bold)
                    assert heights[cell.row - 1] >= lines * LINE, (cell, word)
                else:
                    assert text_width(word, 10, bold=bold) <= SHRUNK * pixels, (cell, word)


def test_a_page_ends_between_two_bands_of_rows(plan):
    """And every band that fits a page is whole."""
    family = plan.build.family
    for sheet, _, widths, heights in sheets(plan):
        starts = {band.first - 1 for band in sheet.bands}
        breaks = page_breaks(sheet, widths, heights, family)
        assert set(breaks) <= starts
        portrait = sheet.template.portrait
        room = paper_size(family, portrait=portrait)[1] / print_scale(widths, family, portrait=portrait)
        for first, last in zip([0, *breaks], [*breaks, sheet.printed_rows], strict=True):
            repeated = heights[0] if first else 0
            if is_shrunk(sheet, widths, heights, family):
                assert sheet.template.stem in ("job_card", "summary")
                repeated -= (look()["paper"]["shrink"] - 1) * room
            assert sum(heights[first:last]) + repeated <= room, sheet.template.stem


def test_no_page_begins_with_a_table_of_which_nobody_knows_what_it_is(plan):
    """A block without a title stays with the titled one above it, where both fit on one page."""
    family = plan.build.family
    together = 0
    for sheet, _, widths, heights in sheets(plan):
        portrait = sheet.template.portrait
        room = paper_size(family, portrait=portrait)[1] * look()["paper"]["reserve"]
        room = room / print_scale(widths, family, portrait=portrait) - heights[0]
        breaks = page_breaks(sheet, widths, heights, family)
        titled = sheet.bands[0]
        for band, following in zip(sheet.bands, [*sheet.bands[1:], None], strict=True):
            titled = band if band.titled or band.starts_page else titled
            if following is None or following.titled or following.starts_page:
                fits = sum(heights[titled.first - 1 : band.last]) <= room
                if fits and band.last <= sheet.printed_rows:
                    inside = [stop for stop in breaks if titled.first <= stop < band.last]
                    assert not inside, sheet.template.stem
                    together += band != titled
    assert together > 5


def test_the_summary_fits_two_pages(plan):
    """It is the customer's record."""
    for sheet, _, widths, heights in sheets(plan):
        if sheet.template.stem == "summary":
            assert len(page_breaks(sheet, widths, heights, plan.build.family)) <= 1


def test_every_word_of_a_verdict_has_one_tone():
    """A word without a tone, or with two, would be shown by chance."""
    catalogue = load_catalogue()
    told = [word for words in look()["tone"].values() for word in words]
    assert len(told) == len(set(told))
    for entry in catalogue.entries.values():
        if entry.words and not entry.is_input:
            for word in catalogue.words[entry.words]:
                assert word in told, (entry.key, word)


def test_the_tones_differ_without_colour():
    """Weight, slant and underline tell them apart in grey print."""
    signs = ("bold", "italic", "underline", "font_color")
    seen = {tone: tuple(tone_format(tone).get(sign) for sign in signs) for tone in look()["tone"]}
    assert len(set(seen.values())) == len(seen)


def test_each_verdict_word_has_a_rule_over_every_cell_that_may_hold_it():
    """The condition is on the cell itself, so that no place is judged by another's word."""
    plan = plan_workbook(new_build("v8", "inch"))
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(plan, stored_values=False)))
    tones = {word: tone for tone, words in look()["tone"].items() for word in words}
    checked = 0
    for sheet, cells, _, _ in sheets(plan):
        covered = set()
        for area in book[sheet.template.title].conditional_formatting:
            for rule in area.rules:
                if rule.type == "notContainsBlanks":
                    continue  # an entry that is filled in
                if rule.type == "expression":  # digits that a verdict needs: neither ground nor letters
                    assert (rule.dxf.numFmt, rule.dxf.fill, rule.dxf.font) == (rule.dxf.numFmt, None, None)
                    continue
                assert rule.type == "cellIs"
                for places in area.sqref.ranges:
                    covered |= {(rule.formula[0], place) for row in places.rows for place in row}
        for cell in cells:
            entry = plan.catalogue.entries.get(cell.key)
            if cell.role in VERDICTS and entry is not None:
                for word in plan.catalogue.words[entry.words]:
                    if tone_format(tones[word]):
                        assert (f'"{word}"', (cell.row, cell.column)) in covered, (cell, word)
                        checked += 1
    assert checked > 1000


def test_areas_are_few_and_exact():
    """Contiguous cells become one rectangle, others do not."""

    def cells(*places):
        return [PlannedCell(sheet="", row=row, column=column, role="") for row, column in places]

    assert areas(cells((4, 2), (5, 2), (6, 2))) == "B4:B6"
    assert areas(cells((4, 2), (5, 2), (7, 2), (7, 3))) == "B4:B5 B7:C7"
    assert areas(cells((4, 2), (4, 4))) == "B4 D4"


def test_number_formats_follow_the_gauge():
    """As many decimals as the gauge resolves, half a step where it was typed, a sign where it matters."""
    catalogue = load_catalogue()
    entries = catalogue.entries
    assert number_format(entries["bore_reading"], catalogue, "millimetre") == "0.000?_-"
    assert number_format(entries["bore_reading"], catalogue, "inch") == "0.0000?_-"
    assert number_format(entries["bore_mean"], catalogue, "inch").startswith("0.00000_")
    assert number_format(entries["part_temperature"], catalogue, "inch") == "0.0_-"
    assert number_format(entries["bore_size_error"], catalogue, "millimetre").startswith("+0.0000")
    assert number_format(entries["stage_missing"], catalogue, "inch") == '[=0]"none";0'
    assert number_format(entries["piston_mark"], catalogue, "inch") == "@"
    for key in look()["numbers"]["signed"]:
        assert entries[key].measure, key
    for key in look()["numbers"]["formats"]:
        assert key in entries


def calls(part, name):
    """Every call of a function in a formula."""
    if part.kind == "call" and part.text == name:
        yield part
    for inner in part.parts:
        yield from calls(inner, name)


def test_what_lies_in_one_row_is_taken_by_row_and_column(plan):
    """One program reads a single number as the row even there, and gives an error for the second place."""
    taken = 0
    for text in {cell.formula for cell in plan.cells if "INDEX(" in cell.formula}:
        for call in calls(read_formula(list(split_formula(text))), "INDEX"):
            _, first, last = plan.names[call.parts[0].text]
            taken += 1
            if first[0] == last[0] and first[1] < last[1]:
                assert len(call.parts) == 3, text
                assert call.parts[1].text == "1", text
            else:
                assert len(call.parts) == 2, text
    assert taken > 20


def test_a_head_keeps_clear_of_its_frame(plan):
    """Lines that a program might fill to the edge are broken before; only a single long word may touch."""
    broken = 0
    for sheet in plan.sheets:
        cells = [cell for cell in plan.cells if cell.sheet == sheet.template.title]
        widths = column_widths(sheet, cells)
        for cell in cells:
            if cell.role not in HEADS or cell.column == LABEL_COLUMN:
                continue
            style = properties(cell.role)
            size, bold, pixels = style["font_size"], bool(style.get("bold")), cell_pixels(cell, widths)
            room = pixels - PADDING - 2 * AIR
            assert with_air(cell.value.replace("\n", " "), pixels, size, bold=bold) == cell.value
            lines = cell.value.split("\n")
            broken += len(lines) > 1
            for line in lines if len(lines) > 1 else ():
                assert " " not in line or text_width(line, size, bold=bold) <= room, cell.value
    assert broken > 10
