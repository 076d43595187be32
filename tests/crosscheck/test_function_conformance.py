"""The functions a workbook may use, computed by three programs that share no code.

Every case of `function_cases.toml` is one formula over the cells below and the value it must have.
All three must give it: the recalculator, a second engine, and an office program run without a
window. A form on which they part does not belong in a workbook; it is listed there as avoided,
with what is written instead.
"""

from __future__ import annotations

import math
import shutil
import subprocess
import tomllib
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

WRITTEN = tomllib.loads(Path(__file__).with_name("function_cases.toml").read_text())
AVOIDED = WRITTEN.pop("avoided")
CASES = [
    (formula, ERROR if isinstance(value, dict) else value)
    for cases in WRITTEN.values()
    for formula, value in cases.items()
]


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
    subprocess.run(
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


@pytest.mark.parametrize(("avoided", "instead"), AVOIDED.items())
def test_a_form_to_be_avoided_is_refused_and_its_replacement_agrees(avoided, instead):
    blocks = {name for name, values in CELLS.items() if len(values) > 1} | set(BLOCKS)
    assert lint_formula(avoided, set(CELLS) | set(BLOCKS), blocks)
    assert instead in [formula for formula, _ in CASES]


def test_a_saved_formula_has_the_canonical_text_it_was_written_with(office_file):
    saved = openpyxl.load_workbook(office_file)["Cases"]
    for row, (formula, _) in enumerate(CASES, start=1):
        assert canonical(saved.cell(row, 1).value, "Cases") == canonical(formula, "Cases")
