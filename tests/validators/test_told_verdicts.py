"""The figures of a finding, as printed, lead a reader to the word that is printed beside them."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from validators.findings import Place, Verdict
from validators.judged import telling_digits
from validators.reference.verdict import verdict
from validators.reference.words import Verdict as Word

NANOMETRES = st.integers(-70_000, 70_000)


def told(value, lower, upper, guard, word):
    return Verdict(
        name="a", label="a", place=Place(file="a.xlsx"), value=value, unit="mm",
        lower=lower, upper=upper, guard=guard, origin="", word=word,
    )


@given(beside=NANOMETRES, tiny=st.sampled_from([0, 1, -1, 40, -40]), guard=st.integers(0, 9_000))
def test_printed_figures_lead_to_the_printed_word(beside, tiny, guard):
    """Around a limit by any distance, down to one billionth of a millimetre."""
    lower, upper = 0.040, 0.065
    for limit, side in ((lower, -1), (upper, 1), (lower, 1), (upper, -1)):
        for distance in (beside * 1e-6, 0.0):
            value = limit + side * guard * 1e-6 + distance + tiny * 1e-9
            word = Word(int(verdict(value, lower, upper, guard * 1e-6, 1.0))).text
            judged = told(value, lower, upper, guard * 1e-6, word)
            digits = telling_digits(judged, 4)
            printed = Decimal(f"{value:.{digits}f}")
            margin = Decimal(f"{guard * 1e-6:.{digits + 1}f}")
            over = printed > Decimal(f"{upper:.{digits}f}") + margin
            under = printed < Decimal(f"{lower:.{digits}f}") - margin
            assert (over, under) == (word == "over", word == "under")


@pytest.mark.parametrize(
    ("value", "guard", "word", "digits"),
    [
        (0.0700, 0.001, "over", 4),
        (0.0660004, 0.001, "over", 7),
        (0.0660004, 0.001, "check entry", 4),
        (0.0645, 0.001, "too close to call", 4),
        (None, 0.001, "not measured", 4),
    ],
)
def test_digits_are_added_only_where_they_explain_the_word(value, guard, word, digits):
    assert telling_digits(told(value, 0.040, 0.065, guard, word), 4) == digits
