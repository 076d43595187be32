"""The written file: names, locks, rules, stored values, nothing that runs."""

import io
import warnings
import zipfile

import openpyxl
import pytest
import xlsxwriter

from sheetgen.build import new_build, presets
from sheetgen.errors import DefinitionError
from sheetgen.fill import fill_workbook, type_in
from sheetgen.gaps import NOW
from sheetgen.plan import BIRTH_SHEET, plan_workbook
from sheetgen.summary_charts import CHARTS
from sheetgen.workbook import save_new, workbook_bytes, write_workbook
from validators.agree import agrees
from validators.recompute import Recomputer


@pytest.fixture(scope="module", params=[("inline-3", "millimetre"), ("v6", "inch")], ids="-".join)
def issued(request):
    plan = plan_workbook(new_build(*request.param))
    data = workbook_bytes(plan)
    return (
        plan,
        data,
        openpyxl.load_workbook(io.BytesIO(data)),
        openpyxl.load_workbook(io.BytesIO(data), data_only=True),
    )


def test_every_input_and_output_is_a_named_cell(issued):
    """A name for each, pointing at its cell."""
    plan, _, book, _ = issued
    for cell in plan.cells:
        if cell.is_input or (cell.formula and cell.key and cell.name):
            target = book.defined_names[cell.name].attr_text
            letters = cell.address.rstrip("0123456789")
            assert (
                target == f"'{cell.sheet}'!${letters}${cell.row}"
                or target == f"{cell.sheet}!${letters}${cell.row}"
            )


@pytest.mark.parametrize("layout", sorted(presets()))
def test_every_name_is_one_that_a_spreadsheet_takes(layout):
    """What writes the file does not ask; the library that it builds on finds no fault with any."""
    book = xlsxwriter.Workbook(io.BytesIO())
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for name in plan_workbook(new_build(layout, "millimetre")).names:
            assert book.define_name(name, "=A1") == 0
    assert len(book.defined_names) > 1000


def test_only_input_cells_are_unlocked(issued):
    """Every sheet is protected, and exactly the entry cells are open."""
    plan, _, book, _ = issued
    inputs = {(cell.sheet, cell.address) for cell in plan.cells if cell.is_input}
    for page in book.worksheets:
        assert page.protection.sheet
        for row in page.iter_rows():
            for cell in row:
                if not isinstance(cell, openpyxl.cell.cell.MergedCell):
                    assert cell.protection.locked == ((page.title, cell.coordinate) not in inputs), cell


def test_every_input_has_a_rule_with_a_prompt(issued):
    """A rule that stops, and a prompt that says what to type."""
    plan, _, book, _ = issued
    for page in book.worksheets:
        if page.title == BIRTH_SHEET:
            continue
        wanted = {cell.address for cell in plan.cells if cell.is_input and cell.sheet == page.title}
        for rule in page.data_validations.dataValidation:
            assert rule.showErrorMessage
            assert rule.showInputMessage
            assert rule.prompt
            for area in rule.sqref.ranges:
                for row in area.rows:
                    for place in row:
                        wanted.discard(openpyxl.utils.get_column_letter(place[1]) + str(place[0]))
        assert not wanted


def test_stored_values_are_what_the_recalculator_gives(issued):
    """A preview that does not calculate shows the right numbers."""
    plan, _, _, stored = issued
    entries = {cell.name: cell.value for cell in plan.cells if cell.is_input}
    values = Recomputer(plan).recalculated([entries])
    checked = 0
    for cell in plan.cells:
        if cell.formula:
            name = cell.name or f"{cell.sheet}!{cell.address}"
            floor = plan.catalogue.entries[cell.key].floor if cell.key in plan.catalogue.entries else 0.0
            assert agrees(stored[cell.sheet][cell.address].value, values[name][0], floor), name
            checked += 1
    assert checked > 1000


def test_a_blank_workbook_shows_no_error_and_no_pass(issued):
    """Not enough data is 'not measured', never a pass and never an error value."""
    plan, _, _, stored = issued
    for cell in plan.cells:
        if cell.formula:
            value = stored[cell.sheet][cell.address].value
            assert stored[cell.sheet][cell.address].data_type != "e", cell.name
            assert cell.role == NOW or not (isinstance(value, str) and value.startswith("#")), cell.name
            assert cell.role != NOW or not value or value.startswith(f"#'{cell.sheet}'!"), cell.name
            if cell.key.endswith("_verdict") and cell.name:
                assert value != "within", cell.name


def test_nothing_in_it_runs_or_links(issued):
    """No macros, no links to the outside, no embedded objects, no volatile functions."""
    plan, data, _book, _ = issued
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        names = " ".join(archive.namelist()).lower()
        text = " ".join(
            archive.read(n).decode("utf-8", "replace") for n in archive.namelist() if n.endswith(".rels")
        )
    for word in ("vba", "externallink", "embeddings", "activex", "connections"):
        assert word not in names
    assert 'TargetMode="External"' not in text
    for cell in plan.cells:
        for word in ("NOW(", "TODAY(", "RAND(", "OFFSET(", "INDIRECT("):
            assert word not in cell.formula


def test_print_and_panes_are_set(issued):
    """Each sheet fits one page wide, repeats its head, and keeps title and labels in sight."""
    _, _, book, _ = issued
    for page in book.worksheets:
        if page.sheet_state == "visible":
            assert page.freeze_panes
            assert page.page_setup.fitToHeight == 0 or page.title in ("Job card", "Summary")
            assert page.sheet_properties.pageSetUpPr.fitToPage
            assert page.print_title_rows
            assert page.oddFooter.right.text


def test_the_birth_record_is_hidden_and_complete(issued):
    """The last sheet is hidden and says what the workbook was written from."""
    plan, _, book, _ = issued
    page = book[BIRTH_SHEET]
    assert page.sheet_state == "veryHidden"
    rows = {row[0].value: row[1].value for row in page.iter_rows(min_row=1)}
    assert rows["plan digest"] == plan.digest
    assert rows["template version"] == "1"


def test_an_existing_file_is_never_overwritten(tmp_path):
    """Neither a workbook nor anything else."""
    path = tmp_path / "job.xlsx"
    path.write_bytes(b"mine")
    with pytest.raises(DefinitionError, match="not overwritten"):
        write_workbook(plan_workbook(new_build("inline-3")), path)
    assert path.read_bytes() == b"mine"
    with pytest.raises(DefinitionError, match="cannot be written"):
        save_new(tmp_path / "no folder" / "job.xlsx", b"x")
    assert list(tmp_path.iterdir()) == [path]


def test_filling_keeps_formulas_and_refuses_what_is_no_entry(issued):
    """A filled copy differs in its entries and stored values only."""
    plan, data, book, _ = issued
    cell = plan.by_name["stroke_nominal"]
    filled = openpyxl.load_workbook(io.BytesIO(fill_workbook(data, plan, {"stroke_nominal": 3.25})))
    assert filled[cell.sheet][cell.address].value == 3.25
    for planned in plan.cells:
        if planned.formula:
            assert filled[planned.sheet][planned.address].value == book[planned.sheet][planned.address].value
    with pytest.raises(DefinitionError, match="stroke_nominal"):
        fill_workbook(data, plan, {"stroke_nominl": 1.0})
    with pytest.raises(DefinitionError, match="no such sheet"):
        type_in(data, {("Nowhere", "A1"): 1})


def test_charts_say_what_they_show(issued):
    """Each has axes with units, points of this sheet, and words for who does not see it."""
    plan, data, _, _ = issued
    package = zipfile.ZipFile(io.BytesIO(data))
    names = sorted(name for name in package.namelist() if name.startswith("xl/charts/chart"))
    drawn = [cell for cell in plan.cells if cell.role == "chart"]
    assert [cell.key for cell in drawn] == ["pace_force", "pace_couple"]
    pictured = [cell for cell in plan.cells if cell.role == "drawing"]
    assert {cell.index[0] for cell in pictured} == set(CHARTS)
    assert len(names) == len(drawn) + len(pictured)
    texts = [package.read(name).decode() for name in names]
    for cell in drawn:
        entry = plan.catalogue.entries[cell.key]
        text = next(text for text in texts if f"{entry.label}, {plan.unit(cell.key)}" in text)
        assert f"Speed, {plan.unit('pace_speed')}" in text
        assert text.count("<c:ser>") == 3  # two that are drawn, one that only gives the axes their ends
        for element in plan.by_key[cell.key]:
            if element.index[0] in ("q1", "q5"):
                letters = element.address.rstrip("0123456789")
                assert f"${letters}${element.row}" in text
        assert text.count('<c:delete val="1"') == text.count('<c:delete val="1"/></c:legendEntry>') == 1
    pictures = "".join(
        package.read(name).decode() for name in package.namelist() if name.startswith("xl/drawings/drawing")
    )
    assert pictures.count('descr="Chart of ') == len(drawn) + len(pictured) - 1
    assert pictures.count('descr="Drawing of the piston') == 1
