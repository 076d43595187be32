"""Single formulas: what a cell gives, what cannot be computed, and which functions are called."""

from __future__ import annotations

import math
import subprocess
import sys

import numpy as np
import pytest

from validators.errors import RecalculationError
from validators.pattern_plans import FUNCTIONS, OPERATORS, PlanStore
from validators.recalculate import _HOMES, LINK, ErrorValue, _library, compile_sheet, with_links

NOT_KEPT = PlanStore(None, {})


def value_of(text: str, *contents: object) -> object:
    """Compute one formula over cell_a, cell_b ..., which are also the block cells_all."""
    names = {f"cell_{'abcdef'[n]}": ("S", f"A{n + 1}", f"A{n + 1}") for n in range(len(contents))}
    if contents:
        names["cells_all"] = ("S", "A1", f"A{len(contents)}")
    replay = compile_sheet({("S", "B1"): text}, names, store=NOT_KEPT)
    inputs = {("S", f"A{n}"): [content] for n, content in enumerate(contents, 1)}
    (value,) = replay.run(inputs, 1)["S", "B1"]
    return value


@pytest.mark.parametrize(
    ("text", "contents", "expected"),
    [
        ("=cell_a", [None], 0.0),
        ("=cell_a", ["torn"], "torn"),
        ("=cell_a", [True], True),
        ("=cell_a", [ErrorValue("#N/A")], ErrorValue("#N/A")),
        ("=cell_a", [3], 3.0),
        ("=cell_a", [np.float64(2.5)], 2.5),
        ("=COUNT(cells_all)", [1.0, None, "1", ""], 1.0),
        ("=cell_a>1", [2.0], True),
        ("=1/cell_a", [0.0], ErrorValue("#DIV/0!")),
        ("=SQRT(cell_a)", [-1.0], ErrorValue("#NUM!")),
        ("=cell_a^(1/3)", [-8.0], ErrorValue("#NUM!")),
        ("=EXP(cell_a)", [1000.0], ErrorValue("#NUM!")),
        ("=1/0", [], ErrorValue("#DIV/0!")),
        ("=#N/A", [], ErrorValue("#N/A")),
        ('="a ""quoted"" word"', [], 'a "quoted" word'),
        ('=IF(cell_a="","",1)', [None], ""),
        ('=IF( cell_a = "x y" , 1 , 2 )', ["X y"], 1.0),
        ("= cell_a*2", [2.0], 4.0),
        ("cell_a*2", [2.0], 4.0),
        ("=-cell_a^2", [3.0], 9.0),
        ("=1E+3*cell_a", [2.0], 2000.0),
    ],
)
def test_a_cell_is_given_as_a_plain_value(text, contents, expected):
    value = value_of(text, *contents)
    assert value == expected
    assert type(value) is type(expected)


@pytest.mark.parametrize("text", ["3.5", "1e3", " 5 ", "nan", "inf", "1_000", "-2"])
def test_text_that_reads_like_a_number_is_text(text):
    assert value_of("=COUNT(cells_all)", text, 1.0) == 1.0
    assert value_of("=SUM(cells_all)", text, 1.0) == 1.0
    assert value_of("=MAX(cells_all)", text, -5.0) == -5.0
    assert value_of("=MIN(cells_all)", text, 9.0) == 9.0
    assert value_of("=AVERAGE(cells_all)", text, 4.0) == 4.0
    assert value_of("=SUMPRODUCT(cells_all,cells_all)", text, 2.0) == 4.0
    assert value_of("=ISTEXT(cell_a)", text) is True
    assert value_of("=ISNUMBER(cell_a)", text) is False
    assert value_of('=IF(COUNT(cell_a,cell_b)<2,"",cell_a-cell_b)', text, 1.0) == ""


def test_a_sheet_that_cannot_be_computed_does_not_touch_its_neighbours():
    names = {"cell_a": ("S", "A1", "A1"), "cell_b": ("S", "A2", "A2")}
    replay = compile_sheet({("S", "B1"): "=cell_a^cell_b"}, names, store=NOT_KEPT)
    values = replay.run({("S", "A1"): [0.0, 2.0, 10.0], ("S", "A2"): [-1.0, 3.0, 400.0]}, 3)
    assert [isinstance(value, ErrorValue) for value in values["S", "B1"]] == [True, False, True]
    assert values["S", "B1"][1] == 8.0


def test_zero_and_minus_zero_and_one_and_true_stay_apart_in_a_batch():
    names = {"cell_a": ("S", "A1", "A1")}
    texts = {("S", "B1"): "=ATAN2(-1,cell_a)", ("S", "B2"): "=ISNUMBER(cell_a)"}
    replay = compile_sheet(texts, names, store=NOT_KEPT)
    values = replay.run({("S", "A1"): [0.0, -0.0, 1.0, True]}, 4)
    assert values["S", "B1"][0] == math.pi
    assert values["S", "B1"][1] == -math.pi
    assert values["S", "B2"].tolist() == [True, True, True, False]


def test_numbers_that_overflow_give_no_warning(recwarn):
    value_of("=EXP(cell_a)*EXP(1000)", 1000.0)
    assert not recwarn.list


# ---------------------------------------------------------------- what cannot be computed

NAMES = {
    "cell_a": ("S", "A1", "A1"),
    "cell_b": ("S", "B1", "B1"),
    "cell_c": ("S", "C1", "C1"),
    "rows_all": ("S", "A1", "A3"),
    "rows_two": ("S", "A1", "A2"),
}


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("=cell_x", "the name cell_x is not defined"),
        ("=Cell_a", "the name Cell_a is not defined"),
        ("=A1", "the name A1 is not defined"),
        ("=IFERROR(cell_a,1)", "the function IFERROR is not allowed"),
        ("=sum(cell_a)", "the function sum is not allowed"),
        ('=cell_a&""', "cannot be read from"),
        ("='S'!A1", "cannot be read from"),
        ("=rows_all:rows_two", "cannot be read from"),
        ("=cell_a cell_b", "cannot be read"),
        ("=SUM({1,2})", "cannot be read from"),
        ("=1E3", "cannot be read from"),
        ("=SUM(cell_a", "cannot be read"),
        ("=", "cannot be read"),
        ("=SUMPRODUCT(rows_all,rows_two)", "blocks of different sizes"),
        ("=SUMPRODUCT((rows_all=1)*(rows_two=2))", "blocks of different sizes"),
        ("=rows_all*2", "gives a block of values"),
        ("=MATCH(rows_all,rows_two,0)", "MATCH is given a block"),
        ("=INDEX(rows_all,rows_two)", "INDEX is given a block"),
    ],
)
def test_a_formula_that_cannot_be_computed_is_named(text, why):
    with pytest.raises(RecalculationError, match=why) as caught:
        compile_sheet({("S", "D9"): text}, NAMES, store=NOT_KEPT)
    assert caught.value.where == "S!D9"


def test_a_circle_is_named_from_cell_to_cell():
    formulas = {
        ("S", "A1"): "=cell_b+1",
        ("S", "B1"): "=IF(cell_c>0,cell_c,1)",
        ("S", "C1"): "=SUM(rows_two)",
        ("S", "D1"): "=cell_a",
    }
    with pytest.raises(RecalculationError, match="S!A1 needs S!B1 needs S!C1 needs S!A1"):
        compile_sheet(formulas, {**NAMES, "cell_d": ("S", "D1", "D1")}, store=NOT_KEPT)


def test_a_name_that_is_no_block_is_named():
    with pytest.raises(RecalculationError, match="ends before it begins"):
        compile_sheet({}, {"rows_all": ("S", "A3", "A1")}, store=NOT_KEPT)


@pytest.mark.parametrize(
    ("inputs", "why"),
    [
        ({("S", "Z9"): [1.0]}, "no input"),
        ({("s", "A1"): [1.0]}, "no input"),
        ({("S", "D1"): [1.0]}, "no input"),
        ({("S", "A1"): [1.0, 2.0]}, "2 values were given for 1 sheets"),
        ({("S", "A1"): [math.nan]}, "nan cannot be in a cell"),
        ({("S", "A1"): [10**400]}, "cannot be in a cell"),
        ({("S", "A1"): [object()]}, "cannot be in a cell"),
    ],
)
def test_an_input_that_cannot_be_is_refused(inputs, why):
    names = {**NAMES, "cell_d": ("S", "D1", "D1")}
    replay = compile_sheet({("S", "D1"): "=cell_a"}, names, store=NOT_KEPT)
    with pytest.raises(RecalculationError, match=why):
        replay.run(inputs, 1)


# ---------------------------------------------------------------- the library


def test_the_functions_are_those_the_library_itself_would_call():
    from formulas.functions import get_functions
    from formulas.functions.operators import OPERATORS as TABLE

    with_links()
    assert {name for names in _HOMES.values() for name in names.split()} == FUNCTIONS - {LINK}
    for name in FUNCTIONS:
        found = get_functions()[name]
        assert _library().function(name) is (
            found["function"] if isinstance(found, dict) else found
        )
    for name in OPERATORS:
        assert _library().function(name) is TABLE[name]


def test_computing_does_not_load_what_only_other_functions_need():
    code = (
        "import sys\n"
        "from validators.recalculate import compile_sheet, PlanStore\n"
        "names = {'cells_all': ('S', 'A1', 'A2')}\n"
        "texts = {('S', 'B1'): '=AVERAGE(cells_all)'}\n"
        "replay = compile_sheet(texts, names, store=PlanStore(None, {}))\n"
        "print(replay.run({('S', 'A1'): [2.0]}, 1)['S', 'B1'][0])\n"
        "assert not [m for m in sys.modules if m.startswith(('scipy.stats', 'scipy.linalg'))]\n"
        "assert 'openpyxl' not in sys.modules\n"
        "from formulas.functions import stat\n"
        "print(float(stat.stats.norm.ppf(0.5)), float(stat.interp1d([0, 1], [0, 2])(0.5)))\n"
    )
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code], capture_output=True, text=True, check=False
    )
    assert done.stdout.split() == ["2.0", "0.0", "1.0"], done.stderr
