"""Bringing formulas to one form."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from validators.canonical import UnreadableFormula, canonical

RESPELLED = [
    ("=11.5E-6*A1", "=0.0000115*A1"),
    ("=2.5E+3", "=2500"),
    ("=115E-7", "=1.15e-05"),
    ("=1E3", "=1000"),
    ("=1.50+.5", "=1.5+0.5"),
    ("=1.0000000000000002", "=1"),
    ("=TRUE", "=TRUE()"),
    ("=IF(FALSE(),1,-true())", "=if(FALSE,1,-TRUE)"),
    ("=_xlfn.STDEV.S(A1:A3)", "=STDEV.S(A1:A3)"),
    ("=_xlfn._xlws.SORT(A1:A3)", "=SORT(A1:A3)"),
    ("=$A$1+A$2+$A3", "=A1+A2+A3"),
    ("='Inputs'!A1", "=A1"),
    ("='bore sizes'!A1", "='Bore Sizes'!$A$1"),
    ("=A:A", "=A1:A1048576"),
    ("=2:3", "=A2:XFD3"),
    ("=Sheet1!A1:Sheet1!B2", "=Sheet1!A1:B2"),
    ("=bore_mean_3*2", "=Bore_Mean_3*2"),
    ("=+A1", "=A1"),
    ("=@A1+@SUM(A1:A2)", "=A1+SUM(A1:A2)"),
    ("\n=  A1 + ( B1 )\n", "=A1+(B1)"),
    ("=IF(A1>2,\n   3,\n   4)", "=IF(A1>2,3,4)"),
    ("=SUM( A1 , B2 )", "=SUM(A1,B2)"),
    ("A1*2", "=A1*2"),
    ("{=SUM(A1:A3*2)}", "{ = SUM($A$1:$A$3*2) }"),
]


@pytest.mark.parametrize(("one", "other"), RESPELLED)
def test_two_spellings_of_one_formula_are_equal(one, other):
    assert canonical(one, "Inputs") == canonical(other, "Inputs")


DIFFERENT = [
    ("=A1", "=A2"),
    ("=A1", "=Other!A1"),
    ("=A1", "{=A1}"),
    ("=-A1", "=A1"),
    ("=--A1", "=A1"),
    ("==A1", "=A1"),
    ('="within"', '="Within"'),
    ('="a  b"', '="a b"'),
    ('="1.50"', '="1.5"'),
    ("=A1:A3 A2:B2", "=A1:A3,A2:B2"),
    ("=11.5E-6", "=11.5E-7"),
    ("=bore_mean", "=bore_means"),
    ("={1,2;3,4}", "={1,2,3,4}"),
    ("=50%", "=50"),
    ("=\N{LATIN SMALL LETTER LONG S}troke_nominal", "=stroke_nominal"),
    ("=stra\N{LATIN SMALL LETTER SHARP S}e_length", "=strasse_length"),
    ("=d\N{LATIN SMALL LETTER DOTLESS I}al_travel", "=dial_travel"),
]


@pytest.mark.parametrize(("one", "other"), DIFFERENT)
def test_two_formulas_are_different(one, other):
    assert canonical(one, "Inputs") != canonical(other, "Inputs")


def test_a_reference_carries_its_sheet_and_no_dollar():
    assert canonical("=$b$2*'It''s'!c3", "Inputs") == "[INPUTS]B2*[IT'S]C3"


def test_blank_space_between_operands_is_an_intersection():
    assert canonical("=A1:B2  B1:C3", "S") == "[S]A1:B2 [S]B1:C3"


def test_names_get_no_sheet():
    assert canonical("=bore_mean", "Inputs") == "BORE_MEAN"


def test_a_name_that_ends_like_a_mantissa_keeps_its_minus():
    assert canonical("=bore_1E-3", "Inputs") == "BORE_1E-3"


@pytest.mark.parametrize(
    "text", ["", "=", "{=}", "=A1#", "=SUM(", "=A1)", "='open", '="open', "=(A1}", "=[1", "@", "=+"]
)
def test_what_is_no_formula_is_said_to_be_unreadable(text):
    with pytest.raises(UnreadableFormula):
        canonical(text, "Inputs")


def test_braces_in_braces_do_not_exhaust_the_stack():
    text = "{=" * 2000 + "A1" + "}" * 2000
    with pytest.raises(UnreadableFormula):
        canonical(text + "}", "Inputs")


def test_unreadable_formulas_are_value_errors():
    assert issubclass(UnreadableFormula, ValueError)


@given(st.text(alphabet="A1b_$!'\"(){}[],;:+-*/^&=<>%#@ \n.E5TRUE\u017f", max_size=40))
def test_any_text_has_a_canonical_form_or_is_unreadable(text):
    try:
        once = canonical(text, "Inputs")
    except UnreadableFormula:
        return
    assert once


@given(st.sampled_from([pair[0] for pair in RESPELLED]), st.sampled_from(["Inputs", "Bores"]))
def test_remembered_and_fresh_answers_are_equal(text, sheet):
    assert canonical(text, sheet) == canonical(text + " " * 600, sheet)
