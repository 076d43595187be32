"""Taking formulas apart with the priorities of spreadsheet programs."""

import pytest

from sheetgen.formula_parts import FormulaSyntaxError, Part, read_formula, split_formula


def spelled(part: Part) -> str:
    """Return a formula with a bracket round everything that is computed."""
    if part.kind == "call":
        return f"{part.text}({','.join(spelled(inner) for inner in part.parts)})"
    if part.kind == "brackets":
        return spelled(part.parts[0])
    if part.kind == "minus":
        return f"[-{spelled(part.parts[0])}]"
    if part.kind == "operation":
        return f"[{spelled(part.parts[0])}{part.text}{spelled(part.parts[1])}]"
    return part.text


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("=1+2*3^4", "[1+[2*[3^4]]]"),
        ("=1-2-3", "[[1-2]-3]"),
        ("=8/4/2", "[[8/4]/2]"),
        ("=2^3^2", "[[2^3]^2]"),
        ("=-2^2", "[[-2]^2]"),
        ("=2^-2", "[2^[-2]]"),
        ("=1-2^2", "[1-[2^2]]"),
        ("=--1", "[-[-1]]"),
        ("=1+2=3", "[[1+2]=3]"),
        ("=1<2=3", "[[1<2]=3]"),
        ('=IF(a_b<>"",-(1+2),PI())', 'IF([a_b<>""],[-[1+2]],PI())'),
    ],
)
def test_signs_bind_as_in_a_spreadsheet(text, expected):
    assert spelled(read_formula(list(split_formula(text)))) == expected


def test_text_keeps_what_is_in_it():
    assert [token.text for token in split_formula('="a ""b"" + 1"')] == ['"a ""b"" + 1"']


@pytest.mark.parametrize("text", ["", "=", "=1+", "=(1", "=1)", "=IF(1,2", "=1 2", "=,"])
def test_half_a_formula_cannot_be_read(text):
    with pytest.raises(FormulaSyntaxError):
        read_formula(list(split_formula(text)))
