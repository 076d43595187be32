"""The rules for formulas and names."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sheetgen.formula_rules import (
    FUNCTIONS,
    LONGEST_FORMULA,
    LONGEST_READABLE,
    NUMBERS,
    lint_formula,
    lint_name,
)

NAMES = {
    "bore_mean",
    "bore_least",
    "stroke_nominal",
    "entry_form",
    "mark_one",
    "marks_all",
    "sizes_all",
    "rod_angle",
}
BLOCKS = {"marks_all", "sizes_all"}

GOOD = [
    "=PI()/4*bore_mean^2*stroke_nominal",
    '=IF(COUNT(bore_mean,bore_least)<2,"",bore_mean-bore_least)',
    '=IF(entry_form="size",bore_mean,IF(entry_form="deviation",bore_least,""))',
    "=SUMPRODUCT((marks_all=mark_one)*1)",
    '=SUMPRODUCT((marks_all=mark_one)*(marks_all<>""))',
    "=SUMPRODUCT((marks_all=mark_one)*(sizes_all<=bore_mean))",
    "=SUMPRODUCT((marks_all=mark_one)*sizes_all)",
    "=SUMPRODUCT(sizes_all,sizes_all)",
    "=SUMPRODUCT((sizes_all<MAX(sizes_all))*1)",
    "=SUMPRODUCT((marks_all=INDEX(marks_all,bore_mean))*1)",
    '=IF(COUNTBLANK(sizes_all)>0,"waiting",MAX(sizes_all)-MIN(sizes_all))',
    '=IF(COUNT(sizes_all,bore_mean)<7,"",IF(24>=COUNTBLANK(sizes_all),1,0))',
    "=MAX(0,bore_mean-bore_least)",
    "=COUNT(INDEX(sizes_all,1),bore_mean)",
    "=INDEX(marks_all,MATCH(bore_least,sizes_all,0))",
    "=(-bore_mean)^2",
    "=-(bore_mean^2)",
    "=2^-bore_mean",
    "=bore_mean-bore_least^2",
    "=bore_mean*(-bore_least)",
    "=ROUND(bore_mean-bore_least,9)>=0",
    "=AND(bore_mean>0,NOT(bore_least<bore_mean))",
    '=IF(ISTEXT(bore_mean),"text",IF(ISNUMBER(bore_mean),"number",""))',
    "=DEGREES(ATAN2(COS(RADIANS(rod_angle)),SIN(RADIANS(rod_angle))))",
    "=SQRT(ABS(EXP(LN(bore_mean))))+ASIN(1)+SUM(sizes_all)+AVERAGE(sizes_all)",
    "PI()*2",
    '="a text with -- & \' 25.4 and F14 inside"',
    '= IF( OR( bore_mean < 0 , bore_mean > 1 ) , "" , bore_mean )',
]


@pytest.mark.parametrize("text", GOOD)
def test_a_good_formula_has_no_faults(text):
    assert lint_formula(text, NAMES, BLOCKS) == []


BAD = [
    ("=SUMPRODUCT(--(marks_all=mark_one))", "in a row"),
    ("=bore_mean--bore_least", "in a row"),
    ("=bore_mean- -bore_least", "in a row"),
    ("=bore_mean+-bore_least", "in a row"),
    ('=bore_mean&" mm"', "& joins"),
    ("=1E3*bore_mean", "1E3 is an exponent"),
    ("=11.5E-6*bore_mean", "11.5E-6 is an exponent"),
    ("=1e+2", "1e+2 is an exponent"),
    ("='Bore sizes'!F14", "apostrophe"),
    ("=Bores!bore_mean", "! refers to a sheet"),
    ("=F14*2", "F14 is a cell address"),
    ("=$F$14*2", "$ belongs"),
    ("=xfd1048576", "is a cell address"),
    ("=SUM(F14:F16)", ": makes a block"),
    ("=-bore_mean^2", "minus before ^"),
    ("=2*-bore_mean^2", "minus before ^"),
    ("=-(bore_mean)^2", "minus before ^"),
    ("=-SIN(bore_mean)^2", "minus before ^"),
    ("=bore_mean^2^3", "two powers in a row"),
    ("=bore_meen*2", "did you mean 'bore_mean'?"),
    ("=BORE_MEAN*2", "the name BORE_MEAN is not defined"),
    ("=TRUE", "TRUE is not a number"),
    ("=25.4*bore_mean", "the number 25.4 has no name"),
    ("=1000*bore_mean", "the number 1000 has no name"),
    ("=bore_mean*0.5", "the number 0.5 has no name"),
    ("=COUNT(sizes_all)*6", "the number 6 has no name"),
    ("=COUNT(sizes_all)<6.5", "the number 6.5 has no name"),
    ("=MAX(sizes_all)<6", "the number 6 has no name"),
    ("=COUNT(sizes_all)<bore_mean*7", "the number 7 has no name"),
    ("=bore_mean*1.0", "the number 1.0 has no name"),
    ("=bore_mean*50%", "% hides"),
    ("=sum(sizes_all)", "written in capitals: SUM"),
    ("=OFFSET(sizes_all,1,0)", "the function OFFSET"),
    ("=IFERROR(bore_mean,0)", "the function IFERROR"),
    ("=_xlfn.STDEV.S(sizes_all)", "the function _xlfn.STDEV.S"),
    ('=INDIRECT("bore_mean")', "the function INDIRECT"),
    ("=SUMPRODUCT({1,2}*1)", "braces"),
    ("=Table1[size]", "table or another file"),
    ("=sizes_all#", "# refers"),
    ("=@sizes_all", "@ is not understood"),
    ("=IF(bore_mean;1;2)", "; separates"),
    ("=IF(bore_mean>0,1)", "IF takes 3 arguments, not 2"),
    ("=ROUND(bore_mean)", "ROUND takes 2 arguments, not 1"),
    ("=PI", "the name PI is not defined"),
    ("=PI(1)", "PI takes 0 arguments, not 1"),
    ("=AND()", "AND takes 1 to 255 arguments, not 0"),
    ("=MATCH(bore_mean,sizes_all,1)", "exact value only"),
    ("=MATCH(bore_mean,sizes_all)", "MATCH takes 3 arguments"),
    ("=MATCH(1,(sizes_all=1)*1,0)", "MATCH searches a named block"),
    ("=INDEX(sizes_all,0,1)", "INDEX with 0"),
    ("=INDEX(sizes_all*2,1)", "INDEX takes from a named block"),
    ("=SUMPRODUCT(marks_all=mark_one)", "bare comparison in SUMPRODUCT"),
    ("=SUMPRODUCT(ABS(sizes_all))", "ABS inside SUMPRODUCT"),
    ("=SUMPRODUCT(ISNUMBER(sizes_all)*1)", "ISNUMBER inside SUMPRODUCT"),
    ("=SUMPRODUCT(IF(sizes_all>1,1,0))", "IF inside SUMPRODUCT"),
    ('=AND("within",bore_mean)', "AND is given text"),
    ('=bore_mean>""', "text is compared by >"),
    ('=bore_mean+""', "text is an operand of +"),
    ('=-"size"', 'text "size" is negated'),
    ("=0<bore_mean<1", "do not mean between"),
    ("=SUM((sizes_all>1)*1)", "sizes_all is a block where one value belongs"),
    ("=sizes_all*2", "sizes_all is a block where one value belongs"),
    ("=MAX(ABS(sizes_all))", "sizes_all is a block where one value belongs"),
    ("=IF(sizes_all>0,1,2)", "sizes_all is a block where one value belongs"),
    ("=MATCH(sizes_all,marks_all,0)", "sizes_all is a block where one value belongs"),
    ("=COUNTBLANK(sizes_all*1)", "COUNTBLANK counts in a named block"),
    ('=MIN(IF(bore_mean>0,"",1),bore_least)', "MIN is given text directly"),
    ('=MAX("",bore_least)', "MAX is given text directly"),
    ("=COUNT(MATCH(bore_mean,sizes_all,0))", "COUNT of a computed value"),
    ("=COUNT(bore_mean/bore_least)", "COUNT of a computed value"),
    ("=(bore_mean", "the formula ends where a closing bracket belongs"),
    ("=bore_mean)", ") is left over"),
    ("=bore_mean bore_least", "bore_least is left over"),
    ("=2bore_mean", "bore_mean is left over"),
    ("=bore_mean*", "the formula ends where a value belongs"),
    ("=*bore_mean", "* stands where a value belongs"),
    ("=IF(bore_mean>0,,1)", ", stands where a value belongs"),
    ('="open', "has no place in a formula"),
    ("", "the formula ends where a value belongs"),
]


@pytest.mark.parametrize(("text", "sentence"), BAD)
def test_a_bad_formula_is_told_why(text, sentence):
    faults = lint_formula(text, NAMES, BLOCKS)
    assert any(sentence in fault for fault in faults), faults


def test_one_fault_is_told_once():
    assert lint_formula("=25.4*bore_mean+25.4", NAMES) == [
        "the number 25.4 has no name: put it on the constants sheet, with its source"
    ]


def test_a_formula_that_nobody_can_follow_is_refused():
    longest = "=1" + "+1" * (LONGEST_READABLE // 2 - 1)
    assert lint_formula(longest, NAMES) == []
    (fault,) = lint_formula(longest + "+1", NAMES)
    assert "nobody can follow" in fault


def test_a_formula_that_programs_refuse_is_refused():
    text = "=" + "1+" * (LONGEST_FORMULA // 2) + "1"
    (fault,) = lint_formula(text, NAMES)
    assert "programs accept 8192" in fault


def test_brackets_that_stand_too_deep_are_refused():
    text = "=" + "(" * 65 + "1" + ")" * 65
    assert any("more than 64 deep" in fault for fault in lint_formula(text, NAMES))
    assert lint_formula("=" + "(" * 64 + "1" + ")" * 64, NAMES) == []


def test_every_allowed_number_says_what_it_is_for():
    assert set(NUMBERS) == {"0", "1", "2", "3", "4", "5", "9", "12", "90", "180"}
    assert all(NUMBERS.values())
    assert all(lint_formula(f"={number}", set()) == [] for number in NUMBERS)


@given(st.text(alphabet="bore_mean(),\"<>=+-*/^ 0129.F$SUMIF&'", max_size=60))
def test_any_text_gets_an_answer(text):
    faults = lint_formula(text, NAMES, BLOCKS)
    assert all(isinstance(fault, str) and fault for fault in faults)


@pytest.mark.parametrize("function", sorted(FUNCTIONS))
def test_every_allowed_function_is_reached_by_the_rules(function):
    faults = lint_formula(f"={function}({','.join(['sizes_all'] * 300)})", NAMES, BLOCKS)
    assert any(f"{function} takes" in fault for fault in faults)


@pytest.mark.parametrize("name", ["bore_mean", "bore_d_c1", "pin_2_d", "crank_pin_d_2", "ab_1"])
def test_a_good_name_has_no_faults(name):
    assert lint_name(name) == []


@pytest.mark.parametrize(
    ("name", "sentence"),
    [
        ("rod1", "no underscore"),
        ("abc", "no underscore"),
        ("", "no underscore"),
        ("a_b", "two or more small letters"),
        ("Bore_mean", "two or more small letters"),
        ("bore__mean", "each after one underscore"),
        ("bore_", "each after one underscore"),
        ("_bore", "two or more small letters"),
        ("_xlfn_bore", "two or more small letters"),
        ("1bore_mean", "two or more small letters"),
        ("bore_mean ", "small letters and digits"),
        ("bore_mean\n", "small letters and digits"),
        ("bore-mean_1", "small letters and digits"),
        ("b\N{LATIN SMALL LETTER O WITH STROKE}re_mean", "small letters and digits"),
        ("bore_\N{ARABIC-INDIC DIGIT ONE}", "small letters and digits"),
        ("true_stroke", "begins like TRUE"),
        ("false_start_2", "begins like TRUE"),
        ("bo_" + "r" * 62, "64 are allowed"),
    ],
)
def test_a_bad_name_is_told_why(name, sentence):
    assert any(sentence in fault for fault in lint_name(name))
