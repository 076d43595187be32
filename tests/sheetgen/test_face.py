"""What a person meets: what is missing and where, boxes for a pen, contrast, widths, drawings."""

import io
import re
import zipfile
from itertools import pairwise

import openpyxl
import pytest

from sheetgen.build import new_build
from sheetgen.catalogue import load_catalogue
from sheetgen.diagrams.canvas import HEIGHT, WIDTH
from sheetgen.diagrams.render import DIAGRAMS, DOTS_PER_INCH, alternative, chunks, digest, written_digest
from sheetgen.errors import DefinitionError
from sheetgen.fill import fill_workbook
from sheetgen.gaps import LISTED
from sheetgen.look import look, properties
from sheetgen.page_fit import measures
from sheetgen.paper import cell_pixels, paper_size, print_scale
from sheetgen.plan import plan_workbook
from sheetgen.prompts import read_prompts
from sheetgen.sources import TEMPLATES, parsed, read_toml
from sheetgen.template import read_templates
from sheetgen.text_fit import PIXELS_PER_POINT, column_pixels, text_width, wrapped_lines
from sheetgen.workbook import store_values, workbook_bytes

MILLIMETRES_PER_POINT = 25.4 / 72


@pytest.fixture(scope="module", params=[("flat-4", "millimetre"), ("v8", "inch")], ids="-".join)
def issued(request):
    plan = plan_workbook(new_build(*request.param))
    data = workbook_bytes(plan)
    return plan, data, openpyxl.load_workbook(io.BytesIO(data))


def pages(plan):
    """Each sheet with its cells, column widths, row heights and print scale."""
    for sheet in plan.sheets:
        cells = [cell for cell in plan.cells if cell.sheet == sheet.template.title]
        widths, heights = measures(sheet, cells, plan.catalogue, plan.build.family)
        scale = print_scale(widths, plan.build.family, portrait=sheet.template.portrait)
        yield sheet, cells, widths, heights, scale


# ------------------------------------------------------------ what is missing, and where


def test_blocks_count_what_the_sheet_counts(issued):
    """The counts block by block add up to the sheet's, and each names the first place that has a blank."""
    plan, data, _ = issued
    typed = {}
    for cells in plan.by_key.values():
        if cells[0].is_input and plan.catalogue.entries[cells[0].key].measure == "length":
            typed[cells[0].name] = 50.0
    for version in (data, store_values(fill_workbook(data, plan, typed))):
        book = openpyxl.load_workbook(io.BytesIO(version), data_only=True)
        checked, named = 0, set()
        for sheet in plan.sheets:
            page = book[sheet.template.title]
            cells = [cell for cell in plan.cells if cell.sheet == page.title]
            counts = [page[cell.address].value for cell in cells if cell.role == "gap"]
            firsts = [page[cell.address].value for cell in cells if cell.role == "first_gap"]
            for count, first, cell in zip(counts, firsts, (c for c in cells if c.role == "gap"), strict=True):
                without = [
                    page[one.address] for key in cell.index for one in plan.by_key[key]
                    if page[one.address].value is None
                ]
                assert len(without) == count
                if without:
                    row = min(one.row for one in without)
                    assert first in {page.cell(row, column).value for column in range(1, without[0].column)}
                else:
                    assert not first
                named.add(first)
            blank = sum(
                page[cell.address].value is None
                for cell in cells
                if cell.is_input and not plan.catalogue.entries[cell.key].optional
            )
            if counts:
                whole = next(cell for cell in cells if cell.role == "missing")
                assert sum(counts) == page[whole.address].value == blank
                checked += 1
        assert checked > 10
        assert len(named) > 8


def test_every_place_that_may_lack_something_has_its_goal(issued):
    """A line of the list for each row of a block with required entries: its goal is the first of them."""
    plan, _, book = issued
    listed = 0
    for sheet in plan.sheets:
        page = book[sheet.template.title]
        required = {
            cell.name for cell in plan.cells
            if cell.sheet == page.title and cell.is_input and not plan.catalogue.entries[cell.key].optional
        }
        goals = [page[c.address].value for c in plan.cells if c.sheet == page.title and c.role == "gap_goal"]
        marks = [c for c in plan.cells if c.sheet == page.title and c.role == "gap_mark"]
        for goal, mark in zip(goals, marks, strict=True):
            members = [plan.by_name[name] for name in mark.index]
            assert goal == f"#'{page.title}'!{members[0].address}"
            assert len({cell.row for cell in members}) == 1
            assert members[0].column == min(cell.column for cell in members)
            listed += 1
        covered = [name for mark in marks for name in mark.index]
        assert len(set(covered)) == len(covered)
        if sheet.template.counted and sheet.template.stem != "job_card":
            assert set(covered) == required
        else:
            assert not covered
    assert listed > 100


def test_every_count_leads_to_an_entry_of_its_block(issued):
    """A click on a count goes to the first required entry of its block, on the same sheet."""
    plan, _, book = issued
    required = {
        (cell.sheet, cell.address)
        for cell in plan.cells
        if cell.is_input and not plan.catalogue.entries[cell.key].optional
    }
    goals = 0
    for page in book.worksheets:
        for link in [cell.hyperlink for row in page.iter_rows() for cell in row if cell.hyperlink]:
            sheet, _, address = link.location.rpartition("!")
            sheet = sheet.strip("'")
            assert sheet in book.sheetnames
            if page.title == "Job card":
                assert (sheet, address) in required or address == "A1"
            else:
                assert sheet == page.title
                assert (sheet, address) in required
                row, column = (book[sheet][address].row, book[sheet][address].column)
                earlier = [
                    c for c in plan.cells if c.role == "gap" and c.sheet == sheet and c.address == link.ref
                ]
                assert all(row > c.row for c in earlier)
                assert column >= 2
                goals += 1
            assert not link.id  # nothing outside the file
    assert goals > 30


def test_the_ground_of_an_entry_says_that_it_is_missing(issued):
    """Required and blank has a ground, filled in has none, optional never had one."""
    plan, _, book = issued
    entry_ground, paper = (look()["colours"][name].lstrip("#") for name in ("entry", "paper"))
    for page in book.worksheets[:-1]:
        covered = set()
        for area, rules in page.conditional_formatting._cf_rules.items():
            for rule in rules:
                if rule.type == "notContainsBlanks":
                    assert rule.dxf.fill.bgColor.rgb[-6:] == paper
                    for part in area.sqref.ranges:
                        covered |= {(r, c) for r in range(part.min_row, part.max_row + 1)
                                    for c in range(part.min_col, part.max_col + 1)}
        for cell in plan.cells:
            if cell.sheet == page.title and cell.is_input:
                optional = plan.catalogue.entries[cell.key].optional
                assert ((cell.row, cell.column) in covered) != optional, cell.name
                ground = page[cell.address].fill.fgColor.rgb
                assert (str(ground)[-6:] == entry_ground) != optional, cell.name


def test_tab_meets_block_after_block(issued):
    """In no row do entries of two blocks stand, so the tab key stays in one."""
    plan, _, _ = issued
    rows = {}
    for cell in plan.cells:
        if cell.is_input and cell.sheet != "Masses and balance":
            rows.setdefault((cell.sheet, cell.row), []).append(cell.column)
    titles = {}
    for cell in plan.cells:
        if cell.role == "block_title":
            titles.setdefault(cell.sheet, []).append((cell.row, cell.column, cell.columns))
    for (sheet, row), columns in rows.items():
        blocks = set()
        for column in columns:
            above = [t for t in titles[sheet] if t[0] < row and t[1] <= column]
            blocks.add(max(above)[:2])
        assert len(blocks) == 1, (sheet, row)


# ------------------------------------------------------------ paper and pen


def test_boxes_of_readings_can_be_filled_by_pen(issued):
    """On paper a reading's box is at least 5.5 mm tall and 16 mm wide, with a frame on all sides."""
    plan, _, book = issued
    checked = 0
    for sheet, cells, widths, heights, scale in pages(plan):
        for cell in cells:
            entry = plan.catalogue.entries.get(cell.key)
            if cell.is_input and entry.kind == "reading" and entry.over and entry.measure and not entry.of:
                tall = heights[cell.row - 1] * scale * MILLIMETRES_PER_POINT
                wide = cell_pixels(cell, widths) / PIXELS_PER_POINT * scale * MILLIMETRES_PER_POINT
                assert tall >= 5.5, (sheet.template.title, cell.name, tall)
                assert wide >= 16, (sheet.template.title, cell.name, wide)
                border = book[cell.sheet][cell.address].border
                assert all(getattr(border, side).style for side in ("left", "right", "top", "bottom"))
                checked += 1
    assert checked > 100


def test_paper_holds_every_entry_and_no_workings_at_the_end(issued):
    """The print area is one page wide, has every entry and verdict, and leaves the last workings out."""
    plan, _, book = issued
    shorter = 0
    for sheet, cells, _widths, _heights, _scale in pages(plan):
        area = book[sheet.template.title].print_area.replace("$", "").rpartition("!")[2]
        last = int(re.search(r"(\d+)$", area).group(1))
        assert last == sheet.printed_rows
        assert all(cell.row <= last for cell in cells if cell.is_input or cell.key.endswith("_verdict"))
        shorter += last < sheet.rows
    assert shorter > 10


def test_a_row_that_starts_on_a_page_ends_on_it(issued):
    """No picture, chart or entry row is cut: a break never falls inside a cell that is several rows tall."""
    plan, _, book = issued
    for page in book.worksheets[:-1]:
        breaks = [stop.id for stop in page.row_breaks.brk]
        for cell in plan.cells:
            if cell.sheet == page.title and cell.rows > 1:
                assert not any(cell.row <= stop < cell.row + cell.rows - 1 for stop in breaks), cell


def test_the_page_is_that_of_the_family(issued):
    plan, _, book = issued
    wanted = {"millimetre": 9, "inch": 1}[plan.build.family]
    assert {int(page.page_setup.paperSize) for page in book.worksheets[:-1]} == {wanted}
    assert paper_size("millimetre", portrait=True) != paper_size("inch", portrait=True)


# ------------------------------------------------------------ what can be read


def luminance(code):
    """Relative luminance of a colour, as WCAG 2.1 defines it."""
    parts = [int(code[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return sum(share * part for share, part in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def contrast(one, other):
    """Contrast ratio of two colours, 1 to 21."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_letters_stand_out_from_every_ground():
    """Ink at 7 or more on every ground, faint letters at 4.5 where they stand, frames of entries at 3."""
    c = look()["colours"]
    for ground in ("paper", "entry", "head", "care", "bad"):
        assert contrast(c["ink"], c[ground]) >= 7, ground
    for ground in ("paper", "head"):
        assert contrast(c["faint"], c[ground]) >= 4.5, ground
    for ground in ("paper", "entry"):
        assert contrast(c["entry_line"], c[ground]) >= 3, ground


def test_grounds_are_told_apart_in_grey():
    """Entry, care and bad differ in lightness, each from each and from paper."""
    c = look()["colours"]
    grounds = sorted((luminance(c[name]) for name in ("paper", "entry", "care", "bad")), reverse=True)
    assert all((one + 0.05) / (other + 0.05) > 1.04 for one, other in pairwise(grounds))
    assert contrast(c["paper"], c["bad"]) > contrast(c["paper"], c["care"]) > 1.15
    assert contrast(c["paper"], c["entry"]) > 1.15


def test_roles_are_told_apart_without_colour():
    """Frame, weight, slant and size alone tell entry, optional entry, result, working and repeated figure."""

    def shape(role):
        made = properties(role)
        return made.get("border"), made.get("border_color"), made.get("bold"), made["font_size"]

    roles = ("input", "optional_input", "result", "working", "echo")
    assert len({shape(role) for role in roles}) == len(roles)


def test_one_line_words_fit_their_cells(issued):
    """What is not wrapped is no wider than its cell, or than the empty cells it may run over."""
    plan, _, _ = issued
    checked = 0
    for sheet, cells, widths, _heights, _scale in pages(plan):
        taken = {(cell.row, cell.column + n) for cell in cells for n in range(cell.columns)}
        for cell in cells:
            style = properties(cell.role)
            if not isinstance(cell.value, str) or cell.is_input or style.get("text_wrap"):
                continue
            if cell.role in ("picture", "drawing", "verdict", "sample_verdict"):
                continue
            if cell.role in LISTED:
                continue  # shrunk, far right
            listed = column_pixels(look()["widths"]["list"])
            room = listed if cell.role == "gap_head" else cell_pixels(cell, widths)
            step = {"left": 1, "right": -1}.get(style.get("align", "left"), 0)
            column = cell.column + (cell.columns if step > 0 else step)
            while step and 0 < column <= len(widths) and (cell.row, column) not in taken:
                room += widths[column - 1] * 7 + 5
                column += step
            need = text_width(cell.value, style["font_size"], bold=bool(style.get("bold")))
            assert need <= room + 2, (sheet.template.title, cell.address, cell.value, need, room)
            checked += 1
    assert checked > 300


def test_every_block_with_entries_has_one_line_of_help():
    """A titled block that takes entries says in a sentence or two what goes in."""
    entries = load_catalogue().entries
    for template in read_templates(1):
        for block in template.blocks:
            asks = [line for line in block.lines if line.quantity and entries[line.quantity].is_input]
            if asks and block.title:
                assert block.help, (template.stem, block.title)
                assert len(block.help) <= 240, (template.stem, block.title)


# ------------------------------------------------------------ drawings


def test_the_measuring_sheets_say_how(issued):
    """What, where, with what, in which form, what follows; the drawing has words for who cannot see it."""
    plan, data, _ = issued
    guides = {cell.sheet: cell for cell in plan.cells if cell.role == "picture"}
    assert {"Bores", "Crank", "Main bearings", "Rod bearings", "Pistons and pins", "Ring gaps",
            "Deck and gasket", "Compression", "Gauges", "Fasteners", "Parts"} == set(guides)
    for title in guides:
        labels = [c.value for c in plan.cells if c.sheet == title and c.role == "guide_label"]
        assert labels == ["What", "Where", "With", "Type", "Then"]
    package = zipfile.ZipFile(io.BytesIO(data))
    names = package.namelist()
    drawings = "".join(package.read(n).decode() for n in names if n.startswith("xl/drawings/drawing"))
    for cell in guides.values():
        assert cell.label == alternative(cell.index[0])
        assert f'descr="{cell.label}"' in drawings
    stored = {package.read(n) for n in names if n.startswith("xl/media/")}
    assert stored <= {path.read_bytes() for path in (TEMPLATES / "diagrams").iterdir()}


@pytest.mark.parametrize("name", DIAGRAMS)
def test_a_drawing_is_the_one_that_is_drawn_now(name):
    """A file that was made from an older drawing is found: run python -m sheetgen.diagrams."""
    assert written_digest(name) == digest(name)
    parts = dict(chunks((TEMPLATES / "diagrams" / f"{name}.png").read_bytes()))
    wide, tall = (int.from_bytes(parts[b"IHDR"][at : at + 4], "big") for at in (0, 4))
    assert (wide, tall) == (WIDTH * DOTS_PER_INCH // 96, HEIGHT * DOTS_PER_INCH // 96)


def test_drawings_fit_their_cells_and_rows(issued):
    """A picture ends before the text beside it and before the block below it."""
    plan, _, _ = issued
    for _sheet, cells, widths, heights, _scale in pages(plan):
        for cell in cells:
            if cell.role == "picture":
                assert cell_pixels(cell, widths) >= WIDTH
                rows = sum(heights[cell.row - 1 : cell.row - 1 + cell.rows])
                assert rows * PIXELS_PER_POINT >= HEIGHT


def test_charts_are_empty_before_anything_is_measured(issued):
    """Every point of the charts of bores and motion stands outside its frame while its figure is missing."""
    plan, data, _ = issued
    book = openpyxl.load_workbook(io.BytesIO(data), data_only=True)
    outside = dict.fromkeys(("profile_across", "candidate_drop", "candidate_ahead"), -9)
    outside |= dict.fromkeys(("place_piston", "place_main", "place_rod"), 9)
    for key, away in outside.items():
        values = {book[cell.sheet][cell.address].value for cell in plan.by_key[key]}
        assert values == {away}, key


@pytest.mark.parametrize(("title", "key", "over"), [
    ("Pistons and pins", "place_piston", "Cylinder"),
    ("Main bearings", "place_main", "Main bearing"),
    ("Rod bearings", "place_rod", "Cylinder"),
])
def test_clearances_are_charted_where_they_are_chosen(issued, title, key, over):
    """One chart on the sheet: every clearance of its kind, an axis that names the limits, words for it."""
    plan, data, _ = issued
    drawn = [c for c in plan.cells if c.role == "drawing" and c.sheet == title]
    assert [cell.index for cell in drawn] == [(f"{key}_chart",)]
    assert "between the lower and the upper limit" in drawn[0].label
    first, last = (plan.by_key[key][at] for at in (0, -1))
    letters = [openpyxl.utils.get_column_letter(cell.column) for cell in (first, last)]
    area = f"'!${letters[0]}${first.row}:${letters[1]}${last.row}".replace("'", "")
    package = zipfile.ZipFile(io.BytesIO(data))
    texts = [package.read(n).decode() for n in package.namelist() if n.startswith("xl/charts/chart")]
    (text,) = [t for t in texts if t.count("<c:ser>") == 1 and f"{first.sheet}'{area}" in t]
    assert f"<a:t>{over}</a:t>" in text
    assert "lower limit" in text
    assert "upper limit" in text
    assert '<c:min val="-0.5"/>' in text
    assert '<c:max val="1.5"/>' in text


def test_an_axis_without_ends_says_no_figure_that_cannot_be(issued):
    """Heights beyond any gasket and ratios beyond any spread have no label: 0 to 12 of an empty chart."""
    plan, data, _ = issued
    package = zipfile.ZipFile(io.BytesIO(data))
    texts = "".join(package.read(n).decode() for n in package.namelist() if n.startswith("xl/charts/chart"))
    most = {"millimetre": "3.5", "inch": "0.14"}[plan.build.family]
    assert texts.count(f"[&gt;{most}]&quot;&quot;;[&lt;0]-General;General") == 2
    assert texts.count("[&gt;1.2]&quot;&quot;;[&lt;0]-0.00;0.00") == 2


def test_a_chart_over_speed_is_not_numbered_before_anything_is_known(issued):
    """Two charts hold shares of 1 without line, mark or word, and write no figure up to there but 0."""
    _, data, _ = issued
    package = zipfile.ZipFile(io.BytesIO(data))
    texts = [package.read(n).decode() for n in package.namelist() if n.startswith("xl/charts/chart")]
    over_speed = [text for text in texts if "[=0]0;[&lt;=2]" in text]
    assert len(over_speed) == 2
    for text in over_speed:
        assert text.count("[=0]0;[&lt;=2]&quot;&quot;;") == 2
        foot = text[text.rindex("<c:ser>"):]
        assert foot.count("<a:noFill/>") >= 1
        assert '<c:symbol val="none"/>' in foot
        assert f'<c:legendEntry><c:idx val="{text.count("<c:ser>") - 1}"/><c:delete val="1"/>' in text


# ------------------------------------------------------------ prompts


def test_every_entry_says_what_to_type(issued):
    """Each entry has a text of its own that says more than its label, and fits what a program shows."""
    plan, _, book = issued
    inputs = {key: entry for key, entry in plan.catalogue.entries.items() if entry.is_input}
    assert len({entry.prompt for entry in inputs.values()}) == len(inputs) > 400
    shown = {}
    for page in book.worksheets[:-1]:
        for rule in page.data_validations.dataValidation:
            for cell in rule.sqref.ranges:
                shown[page.title, cell.min_row, cell.min_col] = rule
    for key, entry in inputs.items():
        first = min((cell for cell in plan.by_key[key]), key=lambda cell: (cell.row, cell.column))
        rule = shown[first.sheet, first.row, first.column]
        assert " ".join(rule.prompt.split()).startswith(entry.prompt)
        assert all(len(line.rstrip()) <= 40 for line in rule.prompt.split("\n"))
        assert 20 < len(rule.prompt) <= 255, key
        assert 0 < len(rule.promptTitle) <= 32, key
        assert len(rule.error) <= 224, key
        assert set(re.findall(r"\w+", entry.prompt.lower())) - set(re.findall(r"\w+", entry.label.lower()))
        unit = plan.unit(key)
        assert not unit or rule.prompt.endswith(f"Unit: {unit}."), key


def test_prompts_name_no_unit_of_one_family():
    """A text stands in both families, so it speaks of mm or inches only where it names both."""
    for entry in load_catalogue().entries.values():
        one, other = (re.search(rf"(?<![/\w]){unit}\b(?![²³/])", entry.prompt) for unit in ("mm", "µm"))
        assert not one, entry.key
        assert not other, entry.key


def test_prompts_stand_under_the_sheet_that_asks(issued):
    """In the file of the texts each stands under its sheet, so that a writer finds it."""
    plan, _, _ = issued
    stems = {sheet.template.title: sheet.template.stem for sheet in plan.sheets}
    said = read_toml(TEMPLATES / "prompts.toml")
    for key, cells in plan.by_key.items():
        entry = plan.catalogue.entries[key]
        if entry.is_input and not entry.of:
            assert key in said[stems[cells[0].sheet]], key


@pytest.mark.parametrize(("change", "fault"), [
    (lambda said: said["bores"].pop("torque_plate"), "torque_plate: this entry has no text"),
    (lambda said: said["crank"].update(torque_plate="Again."), "torque_plate: it has a text already"),
    (lambda said: said["bores"].update(bore_readin="Slip."), "bore_readin: this is no entry"),
    (lambda said: said["titles"].pop("deck_along"), "has more than 32 characters"),
    (lambda said: said["limits"].update(lower="The lower limit."), "'lower' does not say of what"),
])
def test_a_fault_in_the_texts_is_named(change, fault):
    """A missing, second or stray text, and a heading that would be cut off, are faults of the file."""
    said = parsed(TEMPLATES / "prompts.toml")
    labels = {k: e.label for k, e in load_catalogue().entries.items() if e.is_input and not e.of}
    change(said)
    with pytest.raises(DefinitionError, match=fault):
        read_prompts("prompts.toml", said, labels)


def test_notes_of_a_form_take_one_line(issued):
    """What stands behind the unit of an entry is one line, so that the rows of a form are even."""
    plan, _, _ = issued
    checked = 0
    for _sheet, cells, widths, _heights, _scale in pages(plan):
        prompts = {entry.prompt for entry in plan.catalogue.entries.values() if entry.is_input}
        for cell in cells:
            if cell.role == "note" and cell.value in prompts:
                room = cell_pixels(cell, widths)
                assert wrapped_lines(cell.value, room, properties("note")["font_size"]) == 1, cell.value
                checked += 1
    assert checked > 40
