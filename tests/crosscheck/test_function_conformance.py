"""The functions a workbook may use, computed by three programs that share no code.

Every case is one formula over the cells below and the value it must have. The values follow from
the published definitions of the functions (ECMA-376 Part 1, clause 18.17; OASIS OpenFormula 1.3,
chapter 6; quoted from memory), worked out by hand, not taken from any of the programs.

All three must give the value: the recalculator, a second engine, and an office program run without
a window. A form on which they part does not belong in a workbook, and stands in `AVOIDED` with what
is written instead.
"""

from __future__ import annotations

import math
import shutil
import subprocess
from pathlib import Path

import formualizer
import openpyxl
import pytest
from openpyxl.utils.cell import absolute_coordinate
from openpyxl.workbook.defined_name import DefinedName

from sheetgen.formula_rules import FUNCTIONS, lint_formula
from validators.canonical import canonical
from validators.recalculate import ErrorValue, compile_sheet, self_check

SHEET = "Values"
ERROR = ErrorValue("#VALUE!")
"""Any error: programs differ on the kind."""

# One column per name. Text that starts with "=" is a formula.
CELLS: dict[str, list[object]] = {
    "one_number": [2.5],
    "two_number": [-3],
    "no_number": [0],
    "size_cell": [86.0123],
    "blank_cell": [None],
    "empty_text": ['=IF(one_number>0,"",1)'],
    "word_cell": ["within"],
    "text_number": ["3.5"],
    "error_cell": ["=one_number/no_number"],
    "flag_cell": ["=one_number>0"],
    "numbers_all": [4, 1, 3, 5, 2],
    "sizes_all": [10.5, 10.25, 10.75, 10.5, 10],
    "gaps_all": [4, None, 3, '=IF(one_number>0,"",1)', 2],
    "blanks_all": [None, None, None],
    "empties_all": ['=IF(one_number>0,"",1)', '=IF(one_number>0,"",2)', None],
    "marks_all": ["A", "b", '=IF(one_number>0,"",1)', "a", None],
    "weights_all": [10, None, 30, 40, None],
    "kinds_all": [1, 2, 1, 1, 2],
    "one_error": [1, "=one_number/no_number", 3],
    "high_one": [1, 2, 3],
    "high_two": [4, 5, 6],
}
BLOCKS = {
    "grid_all": ("high_one", "high_two"),
}

ARITHMETIC = [
    ("=1+2*3", 7.0),
    ("=(1+2)*3", 9.0),
    ("=7/2", 3.5),
    ("=1-2-3", -4.0),
    ("=8/4/2", 1.0),
    ("=-2^2", 4.0),
    ("=1-2^2", -3.0),
    ("=2^-1", 0.5),
    ("=2^3^2", 64.0),
    ("=2^(1/2)", 1.4142135623730951),
    ("=one_number*two_number", -7.5),
    ("=one_number-two_number", 5.5),
    ("=-one_number", -2.5),
    ("=(-two_number)^3", 27.0),
    ("=one_number/no_number", ERROR),
    ("=blank_cell", 0.0),
    ("=blank_cell+1", 1.0),
    ("=1/blank_cell", ERROR),
    ("=empty_text", ""),
    ("=empty_text+1", ERROR),
    ("=word_cell*2", ERROR),
    ("=error_cell+1", ERROR),
    ("=flag_cell", True),
    ("=(one_number>0)*1", 1.0),
    ("=(one_number<0)*1+(one_number>2)*1", 1.0),
]
COMPARISONS = [
    ("=one_number=2.5", True),
    ("=one_number<>2.5", False),
    ("=two_number<no_number", True),
    ("=two_number>=no_number", False),
    ("=one_number<=2.5", True),
    ("=one_number>2.5", False),
    ('=word_cell="within"', True),
    ('=word_cell="WITHIN"', True),
    ('=word_cell<>"over"', True),
    ('=word_cell=""', False),
    ('=blank_cell=""', True),
    ("=blank_cell=0", True),
    ('=empty_text=""', True),
    ("=empty_text=0", False),
    ("=one_number=word_cell", False),
    ("=error_cell=1", ERROR),
]
CHOICES = [
    ('=IF(one_number>2,"over","within")', "over"),
    ('=IF(one_number>3,"over","within")', "within"),
    ("=IF(one_number,1,2)", 1.0),
    ("=IF(no_number,1,2)", 2.0),
    ("=IF(blank_cell,1,2)", 2.0),
    ('=IF(one_number>0,blank_cell,1)=""', True),
    ('=IF(one_number>0,INDEX(gaps_all,2),1)=""', True),
    ('=IF(IF(one_number>0,blank_cell,1)="",2,3)', 2.0),
    ("=IF(one_number>0,blank_cell,1)", 0.0),
    ("=IF(one_number>0,1,error_cell)", 1.0),
    ("=IF(one_number<0,error_cell,1)", 1.0),
    ("=IF(error_cell>0,1,2)", ERROR),
    ("=IF(flag_cell,1,2)", 1.0),
    ('=IF(word_cell="over",1,IF(word_cell="within",2,3))', 2.0),
    ('=IF(COUNT(one_number,blank_cell)<2,"",one_number-blank_cell)', ""),
    ('=IF(COUNT(one_number,two_number)<2,"",one_number-two_number)', 5.5),
    ('=IF(COUNT(one_number,empty_text)<2,"",one_number-empty_text)', ""),
    ('=IF(COUNT(one_number,text_number)<2,"",one_number-text_number)', ""),
    ('=IF(COUNT(one_number,error_cell)<2,"",one_number-error_cell)', ""),
    ("=AND(1=1,2>1)", True),
    ("=AND(1=1,2<1)", False),
    ('=AND(one_number>0,blank_cell=0,empty_text="")', True),
    ("=AND(one_number,two_number)", True),
    ("=AND(one_number,no_number)", False),
    ("=AND(one_number>0,error_cell>0)", ERROR),
    ("=OR(1=2,2>1)", True),
    ("=OR(1=2,2<1)", False),
    ("=OR(COUNT(blank_cell)=0,one_number<0)", True),
    ("=OR(one_number>0,error_cell>0)", ERROR),
    ("=NOT(1=2)", True),
    ("=NOT(one_number>0)", False),
    ("=NOT(0)", True),
]
FOLDED = [
    ("=SUM(numbers_all)", 15.0),
    ("=SUM(gaps_all)", 9.0),
    ("=SUM(blanks_all)", 0.0),
    ("=SUM(empties_all)", 0.0),
    ("=SUM(one_number,two_number,blank_cell)", -0.5),
    ("=SUM(numbers_all,100)", 115.0),
    ("=SUM(one_error)", ERROR),
    ("=SUM(grid_all)", 21.0),
    ("=MIN(numbers_all)", 1.0),
    ("=MIN(gaps_all)", 2.0),
    ("=MIN(empties_all)", 0.0),
    ("=MIN(one_number,two_number)", -3.0),
    ("=MIN(one_error)", ERROR),
    ("=MAX(numbers_all)", 5.0),
    ("=MAX(gaps_all)", 4.0),
    ("=MAX(empties_all)", 0.0),
    ("=MAX(marks_all)", 0.0),
    ("=MAX(one_number,two_number,blank_cell)", 2.5),
    ("=MAX(0,two_number)", 0.0),
    ("=MAX(one_error)", ERROR),
    ("=MAX(numbers_all)-MIN(numbers_all)", 4.0),
    ("=AVERAGE(numbers_all)", 3.0),
    ("=AVERAGE(gaps_all)", 3.0),
    ("=AVERAGE(empties_all)", ERROR),
    ("=AVERAGE(one_number,two_number)", -0.25),
    ("=COUNT(numbers_all)", 5.0),
    ("=COUNT(gaps_all)", 3.0),
    ("=COUNT(blanks_all)", 0.0),
    ("=COUNT(empties_all)", 0.0),
    ("=COUNT(one_error)", 2.0),
    ("=COUNT(text_number)", 0.0),
    ("=COUNT(one_number,blank_cell,word_cell,empty_text)", 1.0),
    ("=COUNTBLANK(numbers_all)", 0.0),
    ("=COUNTBLANK(gaps_all)", 2.0),
    ("=COUNTBLANK(blanks_all)", 3.0),
    ("=COUNTBLANK(empties_all)", 3.0),
    ("=COUNTBLANK(blank_cell)", 1.0),
    ("=COUNTBLANK(one_number)", 0.0),
]
NUMERIC = [
    ("=ROUND(2.15,1)", 2.2),
    ("=ROUND(2.149,1)", 2.1),
    ("=ROUND(-1.475,2)", -1.48),
    ("=ROUND(21.5,-1)", 20.0),
    ("=ROUND(626.3,-3)", 1000.0),
    ("=ROUND(1.98,-1)", 0.0),
    ("=ROUND(-50.55,-2)", -100.0),
    ("=ROUND(0.5,0)", 1.0),
    ("=ROUND(-0.5,0)", -1.0),
    ("=ROUND(0.1+0.2-0.3,9)", 0.0),
    ("=ROUND(0.1+0.2-0.3,9)<0", False),
    ("=ROUND(0.3-0.1-0.2,9)<0", False),
    ("=ROUND(0.0000000004,9)", 0.0),
    ("=ROUND(0.0000000006,9)", 1e-9),
    ("=ROUND(-0.0000000006,9)", -1e-9),
    ("=ROUND(size_cell-86.0123,9)=0", True),
    ("=ROUND(size_cell/25.4,9)", 3.386311024),
    ("=ROUND(word_cell,9)", ERROR),
    ("=SQRT(16)", 4.0),
    ("=SQRT(2)", 1.4142135623730951),
    ("=SQRT(0)", 0.0),
    ("=SQRT(two_number)", ERROR),
    ("=PI()", 3.141592653589793),
    ("=PI()/4*2^2", 3.141592653589793),
    ("=SIN(PI()/2)", 1.0),
    ("=SIN(RADIANS(30))", 0.5),
    ("=COS(RADIANS(60))", 0.5),
    ("=COS(0)", 1.0),
    ("=COS(PI())", -1.0),
    ("=ASIN(0.5)", 0.5235987755982989),
    ("=ASIN(-1)", -1.5707963267948966),
    ("=ASIN(one_number)", ERROR),
    ("=ATAN2(1,1)", 0.7853981633974483),
    ("=ATAN2(0,1)", 1.5707963267948966),
    ("=ATAN2(-1,-1)", -2.356194490192345),
    ("=ATAN2(-1,0)", 3.141592653589793),
    ("=RADIANS(270)", 4.71238898038469),
    ("=DEGREES(PI())", 180.0),
    ("=DEGREES(ASIN(one_number/5))", 30.0),
    ("=ABS(two_number)", 3.0),
    ("=ABS(one_number)", 2.5),
    ("=ABS(word_cell)", ERROR),
    ("=EXP(0)", 1.0),
    ("=EXP(1)", 2.718281828459045),
    ("=EXP(-1)", 0.36787944117144233),
    ("=LN(1)", 0.0),
    ("=LN(86)", 4.454347296253507),
    ("=LN(EXP(3))", 3.0),
    ("=LN(0)", ERROR),
    ("=LN(two_number)", ERROR),
]
LOOKED_UP = [
    ("=INDEX(numbers_all,3)", 3.0),
    ("=INDEX(numbers_all,1)", 4.0),
    ("=INDEX(numbers_all,6)", ERROR),
    ("=INDEX(marks_all,2)", "b"),
    ("=INDEX(gaps_all,4)", ""),
    ('=INDEX(gaps_all,4)=""', True),
    ("=INDEX(gaps_all,2)", 0.0),
    ('=INDEX(gaps_all,2)=""', True),
    ("=INDEX(gaps_all,2)+1", 1.0),
    ("=COUNT(INDEX(gaps_all,2))", 0.0),
    ("=COUNT(INDEX(gaps_all,3))", 1.0),
    ("=INDEX(grid_all,2,2)", 5.0),
    ("=INDEX(grid_all,3,1)", 3.0),
    ("=INDEX(one_error,2)", ERROR),
    ("=INDEX(one_error,3)", 3.0),
    ("=INDEX(numbers_all,error_cell)", ERROR),
    ("=MATCH(3,numbers_all,0)", 3.0),
    ("=MATCH(10.5,sizes_all,0)", 1.0),
    ("=MATCH(7,numbers_all,0)", ERROR),
    ("=MATCH(2,gaps_all,0)", 5.0),
    ('=MATCH("b",marks_all,0)', 2.0),
    ('=MATCH("B",marks_all,0)', 2.0),
    ('=MATCH("a",marks_all,0)', 1.0),
    ('=MATCH("c",marks_all,0)', ERROR),
    ("=MATCH(3,one_error,0)", 3.0),
    ("=MATCH(MAX(gaps_all),gaps_all,0)", 1.0),
    ("=INDEX(marks_all,MATCH(5,numbers_all,0))", "a"),
    ('=INDEX(kinds_all,MATCH("b",marks_all,0))', 2.0),
    ("=ISTEXT(word_cell)", True),
    ("=ISTEXT(empty_text)", True),
    ("=ISTEXT(text_number)", True),
    ("=ISTEXT(one_number)", False),
    ("=ISTEXT(blank_cell)", False),
    ("=ISTEXT(error_cell)", False),
    ("=ISNUMBER(one_number)", True),
    ("=ISNUMBER(word_cell)", False),
    ("=ISNUMBER(empty_text)", False),
    ("=ISNUMBER(text_number)", False),
    ("=ISNUMBER(blank_cell)", False),
    ("=ISNUMBER(error_cell)", False),
    ("=ISNUMBER(one_number/2)", True),
]
PRODUCTS = [
    ("=SUMPRODUCT(numbers_all,numbers_all)", 55.0),
    ("=SUMPRODUCT(numbers_all,kinds_all)", 18.0),
    ("=SUMPRODUCT(gaps_all,gaps_all)", 29.0),
    ("=SUMPRODUCT(weights_all,kinds_all)", 80.0),
    ("=SUMPRODUCT((kinds_all=1)*1)", 3.0),
    ("=SUMPRODUCT((kinds_all=INDEX(kinds_all,2))*1)", 2.0),
    ('=SUMPRODUCT((marks_all="A")*1)', 2.0),
    ("=SUMPRODUCT((marks_all=word_cell)*1)", 0.0),
    ('=SUMPRODUCT((marks_all="")*1)', 2.0),
    ('=SUMPRODUCT((marks_all<>"")*1)', 3.0),
    ('=SUMPRODUCT((marks_all=INDEX(marks_all,1))*(marks_all<>""))', 2.0),
    ('=SUMPRODUCT((marks_all=INDEX(marks_all,3))*(marks_all<>""))', 0.0),
    ("=SUMPRODUCT((marks_all=blank_cell)*1)", 2.0),
    ("=SUMPRODUCT((kinds_all=1)*(numbers_all<=3))", 1.0),
    ("=SUMPRODUCT((sizes_all=10.5)*(numbers_all<=4))", 1.0),
    ("=SUMPRODUCT((sizes_all<10.5)*1)+SUMPRODUCT((sizes_all=10.5)*(numbers_all<=5))", 4.0),
    ("=SUMPRODUCT((numbers_all<3)*1)", 2.0),
    ("=SUMPRODUCT((numbers_all<one_number)*1)", 2.0),
    ('=SUMPRODUCT((kinds_all=1)*(weights_all<>""))', 3.0),
    ('=SUMPRODUCT((kinds_all=2)*(weights_all<>""))', 0.0),
    ("=SUMPRODUCT((kinds_all=1)*weights_all)", 80.0),
    ("=SUMPRODUCT((kinds_all=2)*weights_all)", 0.0),
    ("=SUMPRODUCT((kinds_all=1)*gaps_all)", ERROR),
    ("=SUMPRODUCT((gaps_all=3)*1)", 1.0),
    ("=SUMPRODUCT((grid_all>2)*1)", 4.0),
    ("=SUMPRODUCT((grid_all>2)*grid_all)", 18.0),
    ("=SUMPRODUCT((one_error=1)*1)", ERROR),
    ("=SUMPRODUCT((numbers_all-3)*(numbers_all-3))", 10.0),
    ("=SUMPRODUCT((kinds_all=1)*(numbers_all=MAX(numbers_all)))", 1.0),
]
AVOIDED = [
    ("=SUMPRODUCT(--(kinds_all=1))", "=SUMPRODUCT((kinds_all=1)*1)"),
    ("=SUMPRODUCT(kinds_all=1)", "=SUMPRODUCT((kinds_all=1)*1)"),
    ("=SUM((numbers_all<3)*1)", "=SUMPRODUCT((numbers_all<3)*1)"),
    ("=SUMPRODUCT(ISNUMBER(gaps_all)*1)", "=COUNT(gaps_all)"),
    ("=SUMPRODUCT(ABS(numbers_all))", "=SUMPRODUCT((numbers_all-3)*(numbers_all-3))"),
    ("=COUNT(MATCH(7,numbers_all,0))", "=SUMPRODUCT((gaps_all=3)*1)"),
    ('=MIN(IF(one_number>0,"",1),3)', "=MIN(empties_all)"),
    ("=SUM(INDEX(grid_all,0,2))", "=INDEX(grid_all,2,2)"),
    ("=-two_number^3", "=(-two_number)^3"),
    ('=one_number&""', "=empty_text"),
]
"""Forms on which programs part, or which they read otherwise than people do, and what to write."""

CASES = [*ARITHMETIC, *COMPARISONS, *CHOICES, *FOLDED, *NUMERIC, *LOOKED_UP, *PRODUCTS]


class Sheet:
    """The workbook of the cases: where each name is, and what is in each cell."""

    def __init__(self) -> None:
        self.content: dict[tuple[str, str], object] = {}
        self.names: dict[str, tuple[str, str, str]] = {}
        letters = {}
        for number, (name, values) in enumerate(CELLS.items(), start=2):
            letters[name] = letter = openpyxl.utils.get_column_letter(number)
            for row, value in enumerate(values, start=1):
                self.content[SHEET, f"{letter}{row}"] = value
            self.names[name] = (SHEET, f"{letter}1", f"{letter}{len(values)}")
        for name, (first, last) in BLOCKS.items():
            self.names[name] = (SHEET, f"{letters[first]}1", f"{letters[last]}{len(CELLS[last])}")
        self.cases = {
            ("Cases", f"A{row}"): formula for row, (formula, _) in enumerate(CASES, start=1)
        }

    @property
    def formulas(self) -> dict[tuple[str, str], str]:
        return self.cases | {
            cell: value
            for cell, value in self.content.items()
            if isinstance(value, str) and value.startswith("=")
        }

    @property
    def inputs(self) -> dict[tuple[str, str], object]:
        return {cell: v for cell, v in self.content.items() if cell not in self.formulas}

    def write(self, path: Path) -> Path:
        book = openpyxl.Workbook()
        book.active.title = SHEET
        book.create_sheet("Cases")
        for (sheet, address), value in (self.content | self.formulas).items():
            book[sheet][address] = value
        for name, (sheet, first, last) in self.names.items():
            target = f"{sheet}!{absolute_coordinate(f'{first}:{last}')}"
            book.defined_names[name] = DefinedName(name, attr_text=target)
        book.save(path)
        return path


@pytest.fixture(scope="module")
def sheet() -> Sheet:
    return Sheet()


@pytest.fixture(scope="module")
def workbook(sheet, tmp_path_factory) -> Path:
    return sheet.write(tmp_path_factory.mktemp("cases") / "cases.xlsx")


@pytest.fixture(scope="module")
def replayed(sheet) -> list[object]:
    replay = compile_sheet(sheet.formulas, sheet.names)
    results = replay.run({cell: [value] for cell, value in sheet.inputs.items()}, 1)
    return [results[cell][0] for cell in sheet.cases]


@pytest.fixture(scope="module")
def second(workbook) -> list[object]:
    book = formualizer.load_workbook(str(workbook))
    book.evaluate_all()
    values = [book.get_value("Cases", row, 1) for row in range(1, len(CASES) + 1)]
    return [ERROR if isinstance(value, dict) else value for value in values]


@pytest.fixture(scope="module")
def office_file(workbook, tmp_path_factory) -> Path:
    """Return the workbook as an office program has computed and saved it."""
    program = shutil.which("soffice")
    assert program, "soffice is needed to compare with an office program"
    folder = tmp_path_factory.mktemp("office")
    subprocess.run(  # noqa: S603
        [
            program,
            f"-env:UserInstallation={(folder / 'profile').as_uri()}",
            "--headless",
            "--convert-to",
            "xlsx",
            "--outdir",
            str(folder),
            str(workbook),
        ],
        check=True,
        capture_output=True,
        timeout=180,
    )
    return folder / workbook.name


@pytest.fixture(scope="module")
def office(office_file) -> list[object]:
    book = openpyxl.load_workbook(office_file, data_only=True)
    values = [book["Cases"].cell(row, 1) for row in range(1, len(CASES) + 1)]
    return [
        ERROR if cell.data_type == "e" else "" if cell.value is None else cell.value
        for cell in values
    ]


def same(value: object, expected: object) -> bool:
    """Return whether a value is the expected one, and of the expected kind."""
    if isinstance(expected, ErrorValue):
        return isinstance(value, ErrorValue)
    if isinstance(expected, bool):
        return value is expected
    if isinstance(expected, float):
        return (
            isinstance(value, int | float)
            and not isinstance(value, bool)
            and math.isclose(value, expected, rel_tol=1e-12, abs_tol=1e-15)
        )
    return type(value) is type(expected) and value == expected


NUMBERED = pytest.mark.parametrize(
    ("number", "expected"),
    [pytest.param(n, expected, id=formula) for n, (formula, expected) in enumerate(CASES)],
)


@NUMBERED
def test_the_recalculator_gives_the_documented_value(replayed, number, expected):
    assert same(replayed[number], expected), replayed[number]


@NUMBERED
def test_the_second_engine_gives_the_documented_value(second, number, expected):
    assert same(second[number], expected), second[number]


@NUMBERED
def test_the_office_program_gives_the_documented_value(office, number, expected):
    assert same(office[number], expected), office[number]


def test_every_allowed_function_has_cases():
    used = {name for name in FUNCTIONS for formula, _ in CASES if f"{name}(" in formula}
    assert used == set(FUNCTIONS)


def test_the_library_left_to_itself_parts_from_the_programs_only_where_it_is_known_to(
    sheet, workbook
):
    """Text that reads like a number counts as one, and IF turns a blank it hands on into 0."""
    replay = compile_sheet(sheet.formulas, sheet.names)
    found = {
        sheet.cases[difference.cell] for difference in self_check(replay, workbook, sheet.inputs)
    }
    assert found == {
        "=COUNT(text_number)",
        "=ISNUMBER(text_number)",
        '=IF(COUNT(one_number,text_number)<2,"",one_number-text_number)',
        '=IF(one_number>0,blank_cell,1)=""',
        '=IF(one_number>0,INDEX(gaps_all,2),1)=""',
        '=IF(IF(one_number>0,blank_cell,1)="",2,3)',
    }


@pytest.mark.parametrize(("avoided", "instead"), AVOIDED)
def test_a_form_to_be_avoided_is_refused_and_its_replacement_agrees(avoided, instead):
    blocks = {name for name, values in CELLS.items() if len(values) > 1} | set(BLOCKS)
    assert lint_formula(avoided, set(CELLS) | set(BLOCKS), blocks)
    assert instead in [formula for formula, _ in CASES]


def test_a_saved_formula_has_the_canonical_text_it_was_written_with(office_file):
    saved = openpyxl.load_workbook(office_file)["Cases"]
    for row, (formula, _) in enumerate(CASES, start=1):
        assert canonical(saved.cell(row, 1).value, "Cases") == canonical(formula, "Cases")
