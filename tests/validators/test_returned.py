"""A returned workbook is read as openpyxl reads it twice, and more strictly where it is spoilt."""

import datetime as dt
import hashlib
import io
import math
import pickle
import random
import re
import shutil
import subprocess
import zipfile
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter
from openpyxl.cell.cell import MergedCell
from openpyxl.packaging.custom import BoolProperty, FloatProperty, IntProperty, StringProperty
from openpyxl.styles import Protection
from openpyxl.utils.datetime import to_excel
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.formula import ArrayFormula, DataTableFormula

from validators.container import Limits
from validators.errors import UnreadableFile
from validators.returned import ReturnedCell, open_returned, read_returned

MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
SHEET = "xl/worksheets/sheet1.xml"


# ---- the workbooks ----------------------------------------------------------------------------


def write_with_xlsxwriter(path):
    """Write a workbook with everything a returned one may hold, its texts in a shared table."""
    book = xlsxwriter.Workbook(path)
    book.set_properties({"title": "Build record"})
    book.set_custom_property("template", "bores-3")
    book.set_custom_property("cylinders", 4)
    book.set_custom_property("clearance", 0.0125)
    book.set_custom_property("released", value=False)
    reading = book.add_format({"locked": False, "num_format": "0.000"})
    result = book.add_format({"num_format": "0.0000;-0.0000", "bold": True})
    bold, italic = book.add_format({"bold": True}), book.add_format({"italic": True})
    date = book.add_format({"num_format": "yyyy-mm-dd", "locked": False})
    sheet = book.add_worksheet("Bores")
    sheet.write_rich_string("A1", "Bore ", bold, "diameter", italic, " at 20 \u00b0C ")
    sheet.write("A2", "  kept blanks  ")
    sheet.write("A3", "one\ntwo\tthree & <four> \"five\" 'six' \U0001f600")
    for row in range(4, 60):
        sheet.write(f"A{row}", f"Cylinder {row % 4 + 1}")
        sheet.write(f"B{row}", 86 + row / 977, reading)
        sheet.write_formula(f"C{row}", f'=IF(B{row}="","",B{row}*2)', result, 2 * (86 + row / 977))
        sheet.write_blank(f"D{row}", None, reading)
    sheet.write_formula("E4", "=1/0", None, "#DIV/0!")
    sheet.write_formula("E5", "=B4>86", None, value=True)
    sheet.write_formula("E6", '=""', None, "")
    sheet.write_formula("E7", '="within"&" limits"', None, "within limits")
    sheet.write_formula("E8", "='Notes & ''all'' marks'!A1*Inch_Size", None, 1.5e-7)
    sheet.write_array_formula("F4:F6", "{=B4:B6*2}", None, 172.0)
    sheet.write_array_formula("G4", "{=MAX(ABS(B4:B9-86))}", None, 0.01)
    sheet.write_boolean("H4", boolean=True)
    sheet.write_boolean("H5", boolean=False)
    sheet.write_number("H6", 1e-300)
    sheet.write_number("H7", -12345678901234.5)
    sheet.write_datetime("H8", dt.date(2024, 2, 29), date)
    sheet.write("H9", "#N/A")
    sheet.merge_range("J4:K6", "merged", bold)
    sheet.data_validation("B4:B30", {
        "validate": "decimal", "criteria": "between", "minimum": 20, "maximum": 1000.5,
    })  # fmt: skip
    sheet.data_validation("D4:D59", {
        "validate": "list", "source": ["on", "off"], "ignore_blank": False, "error_type": "warning",
        "other_cells": [[70, 3, 72, 3]],
    })  # fmt: skip
    sheet.data_validation("H8", {
        "validate": "date", "criteria": ">", "value": dt.date(2020, 1, 1), "show_error": False,
    })  # fmt: skip
    sheet.data_validation("L4", {"validate": "custom", "value": "=AND(L4>B4,L4<100)"})
    sheet.protect("", {"format_columns": True, "select_locked_cells": False, "objects": True})
    notes = book.add_worksheet("Notes & 'all' marks")
    notes.write("A1", 3)
    notes.hide()
    constants = book.add_worksheet("Constants")
    constants.write("A1", 25.4)
    constants.very_hidden()
    book.add_worksheet("Empty")
    book.define_name("bore_mean", "=Bores!$B$4:$B$30")
    book.define_name("Inch_Size", "=Constants!$A$1")
    book.define_name("given_ratio", "=9.5")
    book.define_name("Bores!only_here", "=Bores!$B$4")
    book.close()


def write_with_openpyxl(path):
    """Write a workbook whose texts stand in the cells, without cached results."""
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Bores"
    for row in range(1, 40):
        sheet[f"A{row}"] = f" label {row} \u00d8"
        sheet[f"B{row}"] = 86 + row / 977
        sheet[f"B{row}"].protection = Protection(locked=False)
        sheet[f"B{row}"].number_format = "0.000"
        sheet[f"C{row}"] = f'=IF(ISTEXT(B{row}),"text",B{row}*bore_factor)'
        sheet[f"D{row}"].protection = Protection(locked=row % 2 == 0)
    sheet["E1"], sheet["E2"], sheet["E3"], sheet["E4"] = True, False, "#DIV/0!", "=#REF!+1"
    sheet["E5"] = dt.datetime(2024, 2, 29, 12)
    sheet["F1"] = ArrayFormula("F1:F3", "=B1:B3*2")
    sheet["G1"] = DataTableFormula(ref="G1:G2", dt2D=False, r1="B1")
    sheet["H1"] = "'=quoted"
    sheet.merge_cells("J1:L2")
    sheet.protection.sheet = True
    sheet.protection.password = "open"
    sheet.protection.formatColumns = False
    sheet.protection.selectLockedCells = True
    rule = DataValidation("decimal", formula1="20", formula2="1000", allow_blank=True)
    rule.showErrorMessage = True
    rule.add("B1:B39")
    rule.add("D1")
    words = DataValidation("list", formula1='"on,off"', errorStyle="information")
    words.add("D2:D9")
    sheet.add_data_validation(rule)
    sheet.add_data_validation(words)
    hidden = book.create_sheet("Record")
    hidden.sheet_state = "veryHidden"
    hidden["A1"] = "bores-3"
    book.create_sheet("Shown")["B7"] = "=Bores!B1"
    book.defined_names["bore_factor"] = DefinedName("bore_factor", attr_text="2.5")
    book.defined_names["Bore_All"] = DefinedName("Bore_All", attr_text="Bores!$B$1:$B$39")
    book.defined_names["secret_one"] = DefinedName(
        "secret_one", attr_text="Bores!$A$1", hidden=True
    )
    sheet.defined_names["local_one"] = DefinedName("local_one", attr_text="Bores!$A$2")
    book.properties.title = "Build record"
    book.properties.identifier = "job-0042"
    book.properties.version = "3"
    book.custom_doc_props.append(StringProperty(name="template", value="bores-3"))
    book.custom_doc_props.append(IntProperty(name="cylinders", value=4))
    book.custom_doc_props.append(FloatProperty(name="clearance", value=0.0125))
    book.custom_doc_props.append(BoolProperty(name="released", value=True))
    book.save(path)


WRITERS = {"xlsxwriter": write_with_xlsxwriter, "openpyxl": write_with_openpyxl}


@pytest.fixture(scope="module")
def books(tmp_path_factory):
    """Paths of both workbooks as written, and as another spreadsheet program saved them."""
    folder = tmp_path_factory.mktemp("books")
    (folder / "saved").mkdir()
    paths = {}
    for name, write in WRITERS.items():
        paths[name] = folder / f"{name}.xlsx"
        write(paths[name])
        paths[f"{name}, saved elsewhere"] = folder / "saved" / f"{name}.xlsx"
    program = shutil.which("soffice")
    assert program, "the second spreadsheet program, soffice, is not installed"
    command = [program, f"-env:UserInstallation={(folder / 'profile').as_uri()}", "--headless"]
    subprocess.run(
        [*command, "--convert-to", "xlsx", "--outdir", folder / "saved",
         *(paths[name] for name in WRITERS)],
        check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    return paths


BOOKS = [*WRITERS, *(f"{name}, saved elsewhere" for name in WRITERS)]


@pytest.fixture(params=BOOKS)
def path(books, request):
    return books[request.param]


# ---- the same as openpyxl's double load --------------------------------------------------------


def plain(value):
    """Return a value as the file stores it: dates as serials, nothing as an empty text."""
    if isinstance(value, dt.date | dt.time | dt.timedelta):
        return to_excel(value)
    return "" if value is None else value


def seen_twice(path):
    """Return openpyxl's view by sheet and address, with formulas and with values."""
    pairs = zip(
        openpyxl.load_workbook(path), openpyxl.load_workbook(path, data_only=True), strict=True
    )
    for formulas, values in pairs:
        cells = {
            cell.coordinate: (cell, values[cell.coordinate])
            for row in formulas.iter_rows()
            for cell in row
            if not isinstance(cell, MergedCell)
        }
        yield formulas, cells


def test_cells_agree_with_openpyxl(path):
    """Value, kind, formula, array, lock and number format of every cell; and no cell more."""
    book = open_returned(path)
    compared = 0
    for sheet, cells in seen_twice(path):
        mine = book.sheet(sheet.title)
        merged = {
            c.coordinate for row in sheet.iter_rows() for c in row if isinstance(c, MergedCell)
        }
        assert set(mine.cells) <= set(cells) | merged
        for address, (formula, value) in cells.items():
            cell = mine.cells.get(address)
            if cell is None:
                assert formula.value is None
                assert not formula.has_style
                continue
            where = f"{sheet.title} {address}: {cell}"
            compared += 1
            if isinstance(formula.value, ArrayFormula):
                assert (cell.formula, cell.array) == (formula.value.text[1:], formula.value.ref), (
                    where
                )
            elif isinstance(formula.value, DataTableFormula):
                assert (cell.formula, cell.array) == ("TABLE(B1,)", formula.value.ref), where
            elif formula.data_type == "f":
                assert (f"={cell.formula}", cell.array) == (formula.value, None), where
            else:
                assert cell.formula is None, where
            assert plain(cell.value) == plain(value.value), where
            assert isinstance(cell.value, bool) == isinstance(value.value, bool), where
            if value.value is not None:
                kinds = {"n": "number", "d": "number", "s": "text", "b": "bool", "e": "error"}
                assert cell.kind == kinds[value.data_type], where
            else:
                assert cell.kind == "blank" or cell.value == "", where
            assert cell.locked == formula.protection.locked, where
            assert cell.number_format == formula.number_format, where
    assert compared > 140


def test_sheets_agree_with_openpyxl(path):
    """Titles, order, visibility, protection, rules, merged ranges and own names."""
    book = open_returned(path)
    theirs = openpyxl.load_workbook(path)
    assert [sheet.title for sheet in book.sheets] == theirs.sheetnames
    for sheet in book.sheets:
        other = theirs[sheet.title]
        assert sheet.visible == other.sheet_state
        assert sheet.protected == other.protection.sheet
        assert sheet.password == bool(other.protection.password)
        assert len(sheet.protection) == 15
        assert sheet.protection == {
            flag: getattr(other.protection, flag) for flag in sheet.protection
        }
        assert set(sheet.merged) == {str(cells) for cells in other.merged_cells.ranges}
        assert sheet.names == {n.lower(): d.attr_text for n, d in other.defined_names.items()}
        rules = other.data_validations.dataValidation
        assert len(sheet.validations) == len(rules)
        for mine, rule in zip(sheet.validations, rules, strict=True):
            assert set(mine.ranges) == {str(cells) for cells in rule.sqref.ranges}
            assert mine.type == rule.type
            assert mine.operator == (rule.operator or "between")
            assert (mine.formula1, mine.formula2) == (rule.formula1, rule.formula2)
            assert mine.allow_blank == bool(rule.allowBlank)
            assert mine.show_error == bool(rule.showErrorMessage)
            assert mine.error_style == (rule.errorStyle or "stop")


def test_the_workbook_agrees_with_openpyxl(path):
    """Names, custom and core properties, digest."""
    book = open_returned(path)
    theirs = openpyxl.load_workbook(path)
    assert book.path == path
    assert book.digest == hashlib.sha256(path.read_bytes()).hexdigest()
    assert book.names == {n.lower(): d.attr_text for n, d in theirs.defined_names.items()}
    assert len(book.names) >= 3
    assert book.hidden_names == {n.lower() for n, d in theirs.defined_names.items() if d.hidden}
    assert book.custom == {p.name: p.value for p in theirs.custom_doc_props.props}
    assert book.custom["template"] == "bores-3"
    assert book.core.title == theirs.properties.title == "Build record"
    assert book.core.identifier == (theirs.properties.identifier or "")
    assert book.core.version == (theirs.properties.version or "")
    assert not book.counts_from_1904


def test_what_the_two_workbooks_hold(books):
    """The comparison above is not one of nothing with nothing."""
    book = open_returned(books["xlsxwriter"])
    bores = book.sheet("bores")
    assert bores.cells["A1"].value == "Bore diameter at 20 \u00b0C "
    assert bores.cells["A2"].value == "  kept blanks  "
    assert bores.cells["A3"].value == "one\ntwo\tthree & <four> \"five\" 'six' \U0001f600"
    assert bores.cells["B4"] == ReturnedCell(86 + 4 / 977, "number", None, False, "0.000")
    assert bores.cells["C4"].formula == 'IF(B4="","",B4*2)'
    assert bores.cells["D4"] == ReturnedCell(None, "blank", None, False, "0.000")
    assert bores.cells["E4"][:3] == ("#DIV/0!", "error", "1/0")
    assert bores.cells["E5"].value is True
    assert bores.cells["E6"][:3] == (None, "blank", '""')
    assert (bores.cells["F4"].array, bores.cells["F5"].formula) == ("F4:F6", None)
    assert bores.cells["H9"].kind == "text"
    assert bores.protected
    assert not bores.protection["formatColumns"]
    assert bores.protection["formatCells"]
    assert bores.protection["selectLockedCells"]
    assert bores.validations[1].ranges == ("D4:D59", "D71:D73")
    assert bores.names == {"only_here": "Bores!$B$4"}
    assert book.names["inch_size"] == "Constants!$A$1"
    assert [sheet.visible for sheet in book.sheets] == [
        "visible",
        "hidden",
        "veryHidden",
        "visible",
    ]
    assert book.sheet("Bore") is None
    assert book.custom == {
        "template": "bores-3", "cylinders": 4, "clearance": 0.0125, "released": False
    }  # fmt: skip
    other = open_returned(books["openpyxl"])
    assert other.hidden_names == {"secret_one"}
    assert other.core.identifier == "job-0042"
    assert other.sheet("Bores").password
    saved = open_returned(books["xlsxwriter, saved elsewhere"])
    assert saved.core.application.startswith("Libre")
    assert saved.sheet("Bores").cells["E6"][:3] == ("", "text", '""')


@pytest.mark.parametrize("name", WRITERS)
def test_locks_survive_another_program(books, name):
    """A cell that the other program leaves out has the lock of its row or column."""
    before = open_returned(books[name]).sheet("Bores")
    after = open_returned(books[f"{name}, saved elsewhere"]).sheet("Bores")
    unlocked = {address for address, cell in before.cells.items() if not cell.locked}
    assert len(unlocked) > 50
    assert {address for address in before.cells if not after.cell(address).locked} == unlocked


def test_the_file_is_opened_once_and_left_alone(books, monkeypatch):
    """One open, for reading; afterwards not a byte and not a date has changed."""
    path = books["xlsxwriter"]
    before = path.read_bytes(), path.stat().st_mtime_ns
    opened = []
    real = Path.open

    def watch(self, *arguments, **keywords):
        opened.append((self, arguments))
        return real(self, *arguments, **keywords)

    monkeypatch.setattr(Path, "open", watch)
    open_returned(path)
    monkeypatch.undo()
    assert opened == [(path, ("rb",))]
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before


def test_a_workbook_travels_between_processes(books):
    """A worker hands it back whole."""
    book = open_returned(books["xlsxwriter"])
    assert pickle.loads(pickle.dumps(book)) == book


# ---- parts changed by hand --------------------------------------------------------------------


@pytest.fixture(scope="module")
def members():
    """Members of a small workbook with one sheet, Bores."""
    target = io.BytesIO()
    with xlsxwriter.Workbook(target, {"in_memory": True}) as book:
        sheet = book.add_worksheet("Bores")
        sheet.write("A1", "Bore")
        sheet.write("B1", 86.012, book.add_format({"locked": False, "num_format": "0.000"}))
        book.define_name("bore_one", "=Bores!$B$1")
        book.set_custom_property("template", "bores-3")
    with zipfile.ZipFile(target) as source:
        return {name: source.read(name).decode() for name in source.namelist()}


def packed(members):
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as out:
        for name, text in members.items():
            out.writestr(name, text)
    return target.getvalue()


@pytest.fixture
def read(members):
    """Read the small workbook with one part replaced, or with some text in it replaced."""

    def reader(changes=None, limits=None, *, sheet=None):
        changed = dict(members)
        if sheet is not None:
            changed[SHEET] = f"<worksheet {MAIN}>{sheet}</worksheet>"
        for (name, old), new in (changes or {}).items():
            assert old in changed[name]
            changed[name] = changed[name].replace(old, new)
        return read_returned(packed(changed), Path("job.xlsx"), limits)

    return reader


@pytest.fixture
def read_cells(read):
    """Read the cells of a sheet of which only the rows are given."""

    def reader(rows, limits=None):
        return read(sheet=f"<sheetData>{rows}</sheetData>", limits=limits).sheets[0].cells

    return reader


@pytest.fixture
def refused(read):
    """Return the refusal that reading ends in."""

    def reader(*arguments, **keywords):
        with pytest.raises(UnreadableFile) as caught:
            read(*arguments, **keywords)
        return caught.value

    return reader


@pytest.mark.parametrize(
    "text",
    ["3,5", "1_000", " 5", "5 ", "+5", ".5", "5.", "0x10", "nan", "inf", "-Infinity", "1e999", "1E",
     "\u0661\u0662", "86.01 mm", "--5", "1e5.5", "9" * 500, "abc", "1\n"],
)  # fmt: skip
def test_an_ill_written_number_is_an_error_of_its_cell(read_cells, text):
    """Neither Python's generosity nor an exception: the stored text is kept."""
    cells = read_cells(f'<row r="1"><c r="A1"><v>{text}</v></c><c r="B1"><v>1</v></c></row>')
    assert cells["A1"] == ReturnedCell(None, "error", None, True, "General", raw=text)
    assert cells["B1"].value == 1


@pytest.mark.parametrize(
    "text", ["0", "-0", "86.012", "-1.5E-07", "1e+300", "1.7976931348623157E308", "00012", "4e-324"]
)
def test_a_well_written_number(read_cells, text):
    """Digits, a point, an exponent."""
    cell = read_cells(f'<row r="1"><c r="A1" t="n"><v>{text}</v></c></row>')["A1"]
    assert cell.value == float(text)
    assert math.isfinite(cell.value)
    assert (cell.kind, cell.raw) == ("number", None)


@pytest.mark.parametrize(
    ("stored", "value", "kind", "raw"),
    [
        ('t="b"><v>1</v>', True, "bool", None),
        ('t="b"><v>0</v>', False, "bool", None),
        ('t="b"><v>2</v>', None, "error", "2"),
        ('t="b"><v>true</v>', None, "error", "true"),
        ('t="e"><v>#DIV/0!</v>', "#DIV/0!", "error", "#DIV/0!"),
        ('t="e"><v>#N/A</v>', "#N/A", "error", "#N/A"),
        ('t="s"><v>0</v>', "Bore", "text", None),
        ('t="s"><v>99</v>', None, "error", "99"),
        ('t="s"><v>-1</v>', None, "error", "-1"),
        ('t="s"><v>\u0660</v>', None, "error", "\u0660"),
        ('t="s"><v></v>', None, "error", ""),
        ('t="str"><v> kept </v>', " kept ", "text", None),
        ('t="str"><v></v>', "", "text", None),
        ('t="str"><v>3.5</v>', "3.5", "text", None),
        ('t="str">', None, "blank", None),
        ("><v></v>", None, "blank", None),
        (">", None, "blank", None),
        ('t="d"><v>2024-02-29</v>', 45351.0, "number", None),
        ('t="d"><v>yesterday</v>', None, "error", "yesterday"),
        ('t="x"><v>1</v>', None, "error", "1"),
        ("><v>1<!-- not 1 -->2</v>", 12.0, "number", None),
        ("><v>1<![CDATA[2]]>3</v>", 123.0, "number", None),
        ('t="inlineStr"><is><t>plain</t></is>', "plain", "text", None),
        ('t="inlineStr"><is><t xml:space="preserve"> a </t></is>', " a ", "text", None),
        ('t="inlineStr"><is><r><rPr><b/></rPr><t>Bo</t></r><r><t>re</t></r></is>', "Bore", "text",
         None),
        ('t="inlineStr"><is><t>\u5185\u5f84</t><rPh sb="0" eb="2"><t>\u30ca\u30a4</t></rPh>'
         '<phoneticPr fontId="1"/></is>', "\u5185\u5f84", "text", None),
        ('t="inlineStr"><is><t>a_x000D_b_x005F_x0009_</t></is>', "a\rb_x0009_", "text", None),
        ('t="inlineStr"><is><t>_xD83D__xDE00__xD800_</t></is>', "\U0001f600\ufffd", "text", None),
        ('t="inlineStr"><is/>', "", "text", None),
    ],
)  # fmt: skip
def test_each_type_of_stored_value(read_cells, stored, value, kind, raw):
    """Value, kind and raw text."""
    cell = read_cells(f'<row r="1"><c r="A1" {stored}</c></row>')["A1"]
    assert (cell.value, cell.kind, cell.raw) == (value, kind, raw)
    assert type(cell.value) is type(value)


def test_a_shared_table_with_rich_texts(read):
    """Runs are joined, reading aids left out, blanks kept."""
    rich = (
        '<si><r><t xml:space="preserve">two </t></r><r><rPr><b/></rPr><t>runs</t></r>'
        '<rPh sb="0" eb="1"><t>aid</t></rPh></si></sst>'
    )
    sheet = '<sheetData><row r="1"><c r="A1" t="s"><v>1</v></c></row></sheetData>'
    book = read({("xl/sharedStrings.xml", "</sst>"): rich}, sheet=sheet)
    assert book.sheets[0].cells["A1"].value == "two runs"


def test_shared_formulas_are_written_out(read_cells):
    """Relative references move, fixed ones stay, texts and names are not touched."""
    formula = 'IF(A1="A1",$A1+A$1,$A$1*bore_a1)+SUM(A1:B2)'
    cells = read_cells(
        f'<row r="1"><c r="C1"><f t="shared" ref="C1:D3" si="0">{formula}</f><v>1</v></c>'
        '<c r="D1"><f t="shared" si="0"/><v>2</v></c></row>'
        '<row r="3"><c r="C3"><f t="shared" si="0"></f></c></row>'
    )
    assert cells["C1"].formula == formula
    assert cells["D1"].formula == 'IF(B1="A1",$A1+B$1,$A$1*bore_a1)+SUM(B1:C2)'
    assert cells["C3"].formula == 'IF(A3="A1",$A3+A$1,$A$1*bore_a1)+SUM(A3:B4)'
    assert cells["D1"].value == 2
    assert cells["C3"].kind == "blank"


@pytest.mark.parametrize("formula", ["A1+1", "1+", "((", '"open', "A1#", "{1;", "'a"])
def test_a_formula_that_nobody_could_write_is_still_read(read_cells, formula):
    """Its text is kept; where it is shared and cannot be moved, the text is missing."""
    cells = read_cells(
        f'<row r="2"><c r="A2"><f t="shared" si="0">{formula}</f></c>'
        f'<c r="B2"><f t="shared" si="0"/></c><c r="C2"><f t="shared" si="7"/></c></row>'
        '<row r="3"><c r="A3"><f t="shared" si="0"/></c></row>'
    )
    assert cells["A2"].formula == formula
    assert isinstance(cells["B2"].formula, str)
    assert cells["C2"].formula == ""
    assert isinstance(cells["A3"].formula, str)


def test_a_shared_formula_moved_off_the_sheet_has_no_text(read_cells):
    """There is no cell before the first column."""
    cells = read_cells(
        '<row r="1"><c r="B1"><f t="shared" si="0">A2</f></c></row>'
        '<row r="2"><c r="A2"><f t="shared" si="0"/></c></row>'
    )
    assert cells["A2"].formula == ""


def test_a_shared_formula_with_a_second_text(refused, read_cells):
    """FILE05 when it says something else: programs differ in which one they take."""
    rows = (
        '<row r="1"><c r="A1"><f t="shared" si="0">C1*2</f></c>'
        '<c r="B1"><f t="shared" si="0">{}</f></c></row>'
    )
    assert read_cells(rows.format("D1*2"))["B1"].formula == "D1*2"
    fault = refused(sheet=f"<sheetData>{rows.format('D1*3')}</sheetData>")
    assert (fault.code, "two different ways" in fault.found) == ("FILE05", True)


@pytest.mark.parametrize(
    ("formula", "found"),
    [
        ("'C:\\jobs\\[other.xlsx]Bores'!A1", "another workbook"),
        ("[1]Bores!A1*2", "another workbook"),
        ("[1]!bore_one", "another workbook"),
        ("SUM('[1]Two words'!A1:A9)", "another workbook"),
        ("cmd|'/c calc'!A0", "another program"),
        ("'a&quot;'!A1+cmd|'/c calc'!A0&amp;&quot;x&quot;", "another program"),
        ("dde(&quot;soffice&quot;,&quot;a&quot;,&quot;b&quot;)", "another program"),
    ],
)
def test_formulas_that_reach_out(refused, formula, found):
    """FILE04 in a cell, in a name and in a validation rule alike."""
    cell = f'<sheetData><row r="1"><c r="A1"><f>{formula}</f></c></row></sheetData>'
    rule = (
        '<sheetData/><dataValidations><dataValidation type="list" sqref="A1">'
        f"<formula1>{formula}</formula1></dataValidation></dataValidations>"
    )
    name = {("xl/workbook.xml", "Bores!$B$1"): formula}
    for fault in (refused(sheet=cell), refused(sheet=rule), refused(name)):
        assert fault.code == "FILE04"
        assert found in fault.found


@pytest.mark.parametrize(
    "formula",
    ['"a|b"&amp;"[1]x!"', "SUM(Parts[Bore])", "Parts[[#This Row],[Bore]]*Bores!A1", "ADDED(1)"],
)
def test_formulas_that_only_look_as_if(read_cells, formula):
    """Texts and tables stay inside the workbook."""
    cells = read_cells(f'<row r="1"><c r="A1"><f>{formula}</f></c></row>')
    assert cells["A1"].formula == formula.replace("&amp;", "&")


@pytest.mark.parametrize("word", ["xlm", "vbProcedure", "function"])
def test_names_that_call_macros(refused, word):
    """FILE04."""
    fault = refused({("xl/workbook.xml", "<definedName "): f'<definedName {word}="1" '})
    assert (fault.code, "macros" in fault.found) == ("FILE04", True)


# ---- locks and formats ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("form", "locked"),
    [
        ('<xf numFmtId="0"/>', True),
        ('<xf numFmtId="0"><protection locked="0"/></xf>', False),
        ('<xf numFmtId="0"><protection locked="false"/></xf>', False),
        ('<xf numFmtId="0" applyProtection="0"><protection locked="0"/></xf>', False),
        ('<xf numFmtId="0" applyProtection="1"><protection hidden="1"/></xf>', True),
        ('<xf numFmtId="0" applyProtection="1"><protection locked="1"/></xf>', True),
        ('<xf numFmtId="0" applyProtection="1"/>', True),
    ],
)
def test_the_lock_is_the_one_of_the_cells_own_format(read, members, form, locked):
    """As openpyxl reads it; whether it is said to be applied changes nothing."""
    sheet = '<sheetData><row r="1"><c r="A1" s="0"/></row></sheetData>'
    old = re.search("<cellXfs.*</cellXfs>", members["xl/styles.xml"])[0]
    changes = {("xl/styles.xml", old): f"<cellXfs>{form}</cellXfs>"}
    assert read(changes, sheet=sheet).sheets[0].cells["A1"].locked is locked

    changed = {**members, SHEET: f"<worksheet {MAIN}>{sheet}</worksheet>"}
    changed["xl/styles.xml"] = changed["xl/styles.xml"].replace(old, f"<cellXfs>{form}</cellXfs>")
    theirs = openpyxl.load_workbook(io.BytesIO(packed(changed)))
    assert theirs["Bores"]["A1"].protection.locked is locked


def test_cells_that_are_not_written(read):
    """Row before column before nothing; an address that is none is the caller's mistake."""
    sheet = read(
        sheet='<cols><col min="2" max="4" width="9" style="1"/></cols><sheetData>'
        '<row r="3" s="0" customFormat="1"/><row r="7" s="1" customFormat="true"/></sheetData>'
    ).sheets[0]
    assert sheet.cell("B2") == ReturnedCell(None, "blank", None, False, "0.000")
    assert sheet.cell("A2") == ReturnedCell(None, "blank", None, True, "General")
    assert sheet.cell("B3").locked
    assert not sheet.cell("Z7").locked
    for address in ("b2", "B0", "ZZZ1", "B", "", "B2:C3"):
        with pytest.raises(ValueError, match="not a cell address"):
            sheet.cell(address)


def test_rules_of_the_later_kind(read):
    """A list on another sheet is stored in an extension, and is a rule as any other."""
    rule = read(
        sheet='<sheetData/><extLst><ext xmlns:x14="http://schemas.microsoft.com/office/'
        'spreadsheetml/2009/9/main" uri="{CCE6A557-97BC-4b89-ADB6-D9C93CAAB3DF}">'
        '<x14:dataValidations xmlns:xm="http://schemas.microsoft.com/office/excel/2006/main">'
        '<x14:dataValidation type="list" allowBlank="1" showErrorMessage="1"><x14:formula1>'
        "<xm:f>Words!$A$1:$A$3</xm:f></x14:formula1><xm:sqref>B2:B9 $D$2</xm:sqref>"
        "</x14:dataValidation></x14:dataValidations></ext></extLst>"
    ).sheets[0].validations[0]  # fmt: skip
    assert rule.ranges == ("B2:B9", "D2")
    assert (rule.type, rule.formula1, rule.formula2) == ("list", "Words!$A$1:$A$3", None)
    assert (rule.allow_blank, rule.show_error) == (True, True)


def test_the_strict_form_of_the_file(read, members):
    """Other namespaces, the same workbook."""
    strict = "http://purl.oclc.org/ooxml/spreadsheetml/main"
    office = "http://schemas.openxmlformats.org/officeDocument/2006/"
    changes = {}
    for name, text in members.items():
        for old, new in (
            ("http://schemas.openxmlformats.org/spreadsheetml/2006/main", strict),
            (f"{office}relationships", "http://purl.oclc.org/ooxml/officeDocument/relationships"),
        ):
            if old in text and name != "[Content_Types].xml":
                changes[name, old] = new
    book = read(changes)
    assert book.sheets[0].cells["B1"] == ReturnedCell(86.012, "number", None, False, "0.000")
    assert book.custom == {"template": "bores-3"}


def test_cells_without_addresses(read_cells):
    """Counted from where the last one stood."""
    cells = read_cells(
        "<row><c><v>1</v></c><c><v>2</v></c></row>"
        '<row r="5"><c r="C5"><v>3</v></c><c><v>4</v></c></row><row><c><v>5</v></c></row>'
    )
    assert {a: c.value for a, c in cells.items()} == {"A1": 1, "B1": 2, "C5": 3, "D5": 4, "A6": 5}


def test_the_dimension_is_not_believed(read):
    """Whatever it says, only cells are cells."""
    sheet = '<dimension ref="A1:XFD1048576"/><sheetData><row r="1"><c r="A1"/></row></sheetData>'
    assert set(read(sheet=sheet).sheets[0].cells) == {"A1"}


def test_dates_that_count_from_1904(read):
    """The setting is kept, and dates stored as text follow it."""
    sheet = '<sheetData><row r="1"><c r="A1" t="d"><v>2024-02-29</v></c></row></sheetData>'
    book = read({("xl/workbook.xml", "<workbookPr "): '<workbookPr date1904="1" '}, sheet=sheet)
    assert book.counts_from_1904
    assert book.sheets[0].cells["A1"].value == 45351 - 1462


# ---- refusals -----------------------------------------------------------------------------------

CELL = '<c r="{}"><v>1</v></c>'


@pytest.mark.parametrize(
    ("sheet", "found"),
    [
        ('<sheetData><row r="1">' + CELL.format("A1") * 2 + "</row></sheetData>", "twice"),
        ('<sheetData><row r="1">' + CELL.format("A1") + '</row><row r="1">' + CELL.format("B1")
         + "</row></sheetData>", "rows that are not in order"),
        ('<sheetData><row r="2"/><row r="1">' + CELL.format("A1") + "</row></sheetData>", "not in order"),
        ('<sheetData><row r="1">' + CELL.format("B1") + CELL.format("A1") + "</row></sheetData>",
         "cells that are not in order"),
        ('<sheetData><row r="1">' + CELL.format("A2") + "</row></sheetData>", "in row 1"),
        ('<sheetData><row r="1">' + CELL.format("a1") + "</row></sheetData>", "in row 1"),
        ('<sheetData><row r="1">' + CELL.format("$A$1") + "</row></sheetData>", "in row 1"),
        ('<sheetData><row r="1">' + CELL.format("1") + "</row></sheetData>", "in row 1"),
        ('<sheetData><row r="1">' + CELL.format("XFE1") + "</row></sheetData>", "in row 1"),
        ('<sheetData><row r="01">' + CELL.format("A01") + "</row></sheetData>", "proper number"),
        ('<sheetData><row r="1.0">' + CELL.format("A1") + "</row></sheetData>", "proper number"),
        ('<sheetData><row r="0">' + CELL.format("A0") + "</row></sheetData>", "proper number"),
        ('<sheetData><row r="99999999">' + CELL.format("A99999999") + "</row></sheetData>",
         "proper number"),
        ('<sheetData><row r="1048576">' + CELL.format("XFD1048576") + "</row></sheetData>",
         "far outside"),
        ('<sheetData><row r="1">' + CELL.format("XFD1") + "</row></sheetData>", "far outside"),
        ('<sheetData/><mergeCells><mergeCell ref="A1:XFD1048576"/></mergeCells>', "far outside"),
        ('<sheetData/><hyperlinks><hyperlink ref="A1:A1048576"/></hyperlinks>', "far outside"),
        ('<sheetData><row r="1"><c r="A1"><f t="array" ref="A1:A1048576"/></c></row></sheetData>',
         "far outside"),
        ('<sheetData/><mergeCells><mergeCell ref="A1:B"/></mergeCells>', "range that is none"),
        ("<sheetData/><sheetData/>", "second sheetData"),
        ("<sheetData/><dataValidations/><dataValidations/>", "second dataValidations"),
        ('<sheetData/><x><row r="1"/></x>', "unusual place"),
        ('<sheetData><row r="1"><x><c r="A1"/></x></row></sheetData>', "unusual place"),
        ('<sheetData><row r="1"><c r="A1"><c r="B1"/></c></row></sheetData>', "unusual place"),
        ('<sheetData><c r="A1"/></sheetData>', "proper number"),
        ('<sheetData><row r="1"><c r="A1"><v>1</v><v>2</v></c></row></sheetData>', "two things"),
        ('<sheetData><row r="1"><c r="A1"><f>1</f><f>2</f></c></row></sheetData>', "two things"),
        ('<sheetData><row r="1"><c r="A1"><v>1<b/>2</v></c></row></sheetData>', "two things"),
        ('<sheetData><row r="1"><c r="A1"><f>1<b/>2</f></c></row></sheetData>', "elements in it"),
        ('<sheetData><row r="1"><c r="A1" s="99"/></row></sheetData>', "format"),
        ('<sheetData><row r="1"><c r="A1" s="-1"/></row></sheetData>', "format"),
        ('<sheetData><row r="1"><c r="A1"><f>' + "1+" * 4097 + "</f></c></row></sheetData>",
         "formula of 8194 characters"),
        ('<sheetData><row r="1"><c r="A1" t="str"><v>' + "x" * 32768 + "</v></c></row></sheetData>",
         "longer than a cell"),
    ],
)  # fmt: skip
def test_sheets_that_two_programs_might_read_differently(refused, sheet, found):
    """FILE05."""
    fault = refused(sheet=sheet)
    assert fault.code == "FILE05"
    assert found in fault.found


def test_limits_are_the_callers_to_set(read_cells, refused):
    """Coordinates and the number of cells, over all sheets."""
    rows = "".join(
        f'<row r="{r}">{CELL.format(f"A{r}")}{CELL.format(f"C{r}")}</row>' for r in (1, 9)
    )
    assert len(read_cells(rows, Limits(cells=4, last_row=9, last_column=3))) == 4
    sheet = f"<sheetData>{rows}</sheetData>"
    assert "too many cells" in refused(sheet=sheet, limits=Limits(cells=3)).found
    fault = refused(sheet=sheet, limits=Limits(last_row=8, last_column=26))
    assert "'Bores' A9" in fault.found
    assert "Z8" in fault.todo
    assert "C1" in refused(sheet=sheet, limits=Limits(last_column=2)).found


def test_a_sheet_of_a_million_cells_is_refused_at_once(refused):
    """FILE05 before its cells are looked at, whatever the packing."""
    sheet = f"<sheetData>{'<row><c/></row>' * 1_000_000}</sheetData>"
    fault = refused(sheet=sheet, limits=Limits(ratio=10_000))
    assert fault.code == "FILE05"


def test_long_shared_formulas_cannot_take_for_ever(refused):
    """FILE05: one long formula that thousands of cells share is not written out for each."""
    long = "A1+" * 2700 + "A1"
    cells = "".join(
        f'<row r="{r}"><c r="A{r}"><f t="shared" si="0"/></c></row>' for r in range(2, 3000)
    )
    first = f'<row r="1"><c r="A1"><f t="shared" si="0">{long}</f></c></row>'
    fault = refused(sheet=f"<sheetData>{first}{cells}</sheetData>")
    assert "share a long text" in fault.found


WORKBOOK = "xl/workbook.xml"
REFERENCES = "xl/_rels/workbook.xml.rels"


@pytest.mark.parametrize(
    ("changes", "code", "found"),
    [
        ({(WORKBOOK, "</sheets>"): '<sheet name="BORES" sheetId="2" r:id="rId1"/></sheets>'},
         "FILE05", "twice"),
        ({(WORKBOOK, "</sheets>"): '<sheet name="Two" sheetId="2" r:id="rId1"/></sheets>'},
         "FILE05", "twice"),
        ({(WORKBOOK, "</sheets>"): '<sheet name="Two" sheetId="2" r:id="rId77"/></sheets>'},
         "FILE02", "listed wrongly"),
        ({(WORKBOOK, 'name="Bores"'): 'name="Bores" state="gone"'}, "FILE02", "listed wrongly"),
        ({(WORKBOOK, "<definedNames>"): '<definedNames><definedName name="BORE_one"/>'},
         "FILE05", "two names"),
        ({(WORKBOOK, "<definedName "): '<definedName localSheetId="5" '}, "FILE05", "not there"),
        ({(WORKBOOK, "<definedName "): '<definedName localSheetId="-1" '}, "FILE05", "not there"),
        ({(WORKBOOK, "<workbook "): "<workbok ", (WORKBOOK, "</workbook>"): "</workbok>"},
         "FILE02", "does not hold a workbook"),
        ({(WORKBOOK, "</workbook>"): ""}, "FILE02", "well-formed"),
        ({(SHEET, "</sheetData>"): ""}, "FILE02", "well-formed"),
        ({(REFERENCES, "worksheets/sheet1.xml"): "worksheets/sheet9.xml"}, "FILE02", "missing"),
        ({(REFERENCES, "worksheets/sheet1.xml"): "styles.xml"}, "FILE05", "two different ways"),
        ({(REFERENCES, 'Id="rId2"'): 'Id="rId1"'}, "FILE05", "one identifier"),
        ({("_rels/.rels", "xl/workbook.xml"): "xl/other.xml"}, "FILE02", "leads to its workbook"),
        ({("docProps/custom.xml", "</Properties>"): '<property name="template"><a>x</a></property>'
          "</Properties>"}, "FILE05", "two document properties"),
    ],
)  # fmt: skip
def test_workbooks_that_do_not_hold_together(refused, changes, code, found):
    """FILE02 where something is missing, FILE05 where something is said twice."""
    fault = refused(changes)
    assert fault.code == code
    assert found in fault.found


def test_two_tables_of_texts(refused):
    """FILE05: programs differ in which one they take."""
    new = (
        '<Relationship Id="z" Target="theme/theme1.xml" Type="http://schemas.openxmlformats.org/'
        'officeDocument/2006/relationships/sharedStrings"/></Relationships>'
    )
    assert refused({(REFERENCES, "</Relationships>"): new}).code == "FILE05"


def test_markup_too_deep_to_parse(refused):
    """FILE02."""
    assert refused(sheet="<sheetData/>" + "<a>" * 2000 + "</a>" * 2000).code == "FILE02"


def test_spoilt_files_never_end_in_a_traceback(members):
    """Words and marks moved about in every part: a workbook or a refusal, nothing else."""
    chance = random.Random(20240229)
    names = [WORKBOOK, SHEET, REFERENCES, "xl/styles.xml", "xl/sharedStrings.xml", "_rels/.rels",
             "[Content_Types].xml", "docProps/core.xml", "docProps/custom.xml"]  # fmt: skip
    pieces = re.compile(r'"[^"]*"|<[^<>]*>|[^<>"]+')
    changed = dict(members)
    changed[SHEET] = changed[SHEET].replace(
        "</sheetData>",
        '<row r="2"><c r="A2" t="str"><f t="shared" si="0" ref="A2:B2">B1*bore_one</f><v>x</v></c>'
        '<c r="B2" s="1"><f t="shared" si="0"/><v>1</v></c></row></sheetData><sheetProtection '
        'sheet="1"/><mergeCells count="1"><mergeCell ref="D1:E2"/></mergeCells><dataValidations>'
        '<dataValidation type="whole" sqref="A1"><formula1>1</formula1></dataValidation>'
        "</dataValidations>",
    )
    outcomes = {"read": 0, "FILE02": 0, "FILE04": 0, "FILE05": 0}
    for _ in range(1500):
        name = chance.choice(names)
        tokens = pieces.findall(changed[name])
        for _ in range(chance.randint(1, 2)):
            here, there = chance.randrange(len(tokens)), chance.randrange(len(tokens))
            tokens[here] = chance.choice(
                [tokens[there], "", '""', '"-1"', '"\u0661"', '"1e400"', tokens[here] * 2, '"A1:B"']
            )
        try:
            read_returned(packed({**changed, name: "".join(tokens)}), Path("job.xlsx"))
            outcomes["read"] += 1
        except UnreadableFile as fault:
            outcomes[fault.code] += 1
    assert outcomes["read"] > 100
    assert outcomes["FILE02"] > 100
    assert outcomes["FILE05"] > 10
