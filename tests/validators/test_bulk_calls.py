"""Functions over many cells at once: the same as a call of the whole function for every cell."""

from __future__ import annotations

import itertools
import math
import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from validators.bulk_calls import BY_KIND, BY_TRUTH, COMPARISONS, SINGLY, WHOLE, Calls
from validators.cell_values import ErrorValue
from validators.formula_order import ELEMENTWISE
from validators.pattern_plans import FUNCTIONS, OPERATORS
from validators.recalculate import LINK, _library
from validators.stacks import ODD, Pool, SheetText, Stack

LIBRARY = _library()
NUMBERS = [
    0.0, -0.0, 1.0, -1.0, 0.5, -0.5, 2.0, 3.0, -8.0, 9.0, 400.0, 1e17, 1e300, -1e300, 1.7e308, 5e-324, 1e-308,
    2.5, -2.5, 0.1 + 0.2, 86.0125, 1 / 3, float(2**53 + 2),
]
OTHERS: list[object] = [
    True, False, LIBRARY.empty, *map(SheetText, ("", "a", "A", "b", "3.5", "nan", "-2", "1E3")),
    *(LIBRARY.error(ErrorValue(text)) for text in ("#DIV/0!", "#VALUE!", "#N/A", "#NUM!")),
]
ODDITIES: list[object] = [math.inf, -math.inf, math.nan, 1 + 2j, "word"]
EDGES = [*NUMBERS, *OTHERS, *ODDITIES]

ONE = ("%", "U-", "U+", "ABS", "ASIN", "COS", "DEGREES", "EXP", "LN", "NOT", "RADIANS", "SIN", "SQRT")
TWO = ("+", "-", "*", "/", "^", "ATAN2", *sorted(COMPARISONS))
BLOCKS = ("AND", "AVERAGE", "COUNT", "COUNTBLANK", "MAX", "MIN", "OR", "SUM", "SUMPRODUCT")


def test_every_function_is_called_in_one_way():
    assert {*ONE, *TWO, *BLOCKS, "ROUND", "IF", "INDEX", "MATCH", "ISNUMBER", "ISTEXT", "PI", LINK} == (
        FUNCTIONS | OPERATORS
    )
    assert WHOLE | SINGLY | COMPARISONS <= ELEMENTWISE
    assert not WHOLE & SINGLY
    assert not (BY_KIND | BY_TRUTH) & ELEMENTWISE


def shown(pool: Pool, stack: Stack) -> list[object]:
    """Return each value with all that could tell it from another."""
    return [
        (kind, repr(complex(value)) if kind == ODD and not isinstance(value, str) else repr(value))
        for kind, value in zip(
            stack.kinds.ravel().tolist(), pool.objects(stack).ravel().tolist(), strict=True
        )
    ]


def assert_same(name: str, *arguments: object, calls: Calls | None = None) -> None:
    """Call a function both ways; a list of rows is a stack, anything else a constant."""
    pool = Pool(LIBRARY)
    stacks = [
        pool.stack_of(list(itertools.chain(*a)), (len(a), 1, len(a[0]))) if isinstance(a, list)
        else pool.stack_of([a], ())
        for a in arguments
    ]
    height = max((len(stack.kinds) for stack in stacks if not stack.is_single), default=1)
    with np.errstate(all="ignore"):
        calls = calls or Calls(LIBRARY, [name])
        at_once = calls.call(name, stacks, height, pool)
        plainly = calls.plainly(name, stacks, height, pool)
    assert at_once.kinds.shape == plainly.kinds.shape
    for n, (one, other) in enumerate(zip(shown(pool, at_once), shown(pool, plainly), strict=True)):
        assert one == other, (name, n, [a[n % len(a)] if isinstance(a, list) else a for a in arguments])


def test_a_link_over_all_that_it_may_be_given():
    """What it shows, for each value beside each place; an error of either stays one."""
    for one in EDGES:
        assert_same(LINK, [[one]] * len(EDGES), [[other] for other in EDGES])
        assert_same(LINK, one, [[other] for other in EDGES])


@pytest.mark.parametrize("name", [*ONE, "ISNUMBER", "ISTEXT"])
def test_one_argument_at_the_edges(name):
    assert_same(name, [[value] for value in EDGES])
    for value in EDGES:
        assert_same(name, [[value]] * 2)
        assert_same(name, value)


@pytest.mark.parametrize("name", TWO)
def test_two_arguments_at_the_edges(name):
    pairs = list(itertools.product(EDGES, EDGES))
    assert_same(name, [[one] for one, _ in pairs], [[other] for _, other in pairs])
    for value in EDGES:
        assert_same(name, [[other] for other in EDGES], value)
        assert_same(name, value, [[other] for other in EDGES])
        assert_same(name, [[other] for other in EDGES], [[value]] * len(EDGES))


@pytest.mark.parametrize("name", ["+", "/", "^", "<", "=", "ATAN2"])
def test_what_was_asked_before_makes_no_difference(name):
    calls = Calls(LIBRARY, [name])
    pairs = list(itertools.product(EDGES, EDGES))
    for seed in range(20):
        drawn = random.Random(seed).sample(pairs, 30)
        assert_same(name, [[one] for one, _ in drawn], [[other] for _, other in drawn], calls=calls)


def test_a_block_beside_one_cell():
    block = [EDGES[n:n + 4] for n in range(0, 36, 4)]
    for name in ("+", "*", ">=", "="):
        assert_same(name, block, [[value] for value in EDGES[:9]])
        assert_same(name, [[value] for value in EDGES[-9:]], block)


def test_rounding_to_digits():
    values = [[value] for value in [*EDGES, 0.5, 1.5, 2.675, 1.0000000005, -1.0000000005, 1e29, 1e20]]
    for digits in (0, 3, 9, -2, 400, "", LIBRARY.empty, True, LIBRARY.error(ErrorValue("#N/A"))):
        assert_same("ROUND", values, SheetText(digits) if isinstance(digits, str) else digits)
    assert_same("ROUND", 2.675, [[value] for value in (0.0, 1.0, 2.0, 400.0, SheetText("a"))])


def test_what_if_hands_on():
    handed = [if_keeps(value) for value in EDGES]
    triples = list(itertools.product(EDGES, handed[::5], handed[1::7]))
    columns = [[[triple[n]] for triple in triples] for n in range(3)]
    assert_same("IF", *columns)
    assert_same("IF", columns[0], SheetText("yes"), 0.0)
    assert_same("IF", columns[0], columns[1], LIBRARY.error(ErrorValue("#REF!")))
    assert_same("IF", columns[0], columns[1])
    assert_same("IF", 1.0, columns[1], columns[2])


def if_keeps(value: object) -> object:
    """Return what stands for a value that IF or INDEX hands on, where a blank would become 0."""
    return 0.0 if value is LIBRARY.empty else value


def test_a_blank_is_handed_on_as_a_blank():
    pool = Pool(LIBRARY)
    calls = Calls(LIBRARY, ["IF", "INDEX"])
    blank = pool.stack_of([LIBRARY.empty, 1.0], (2, 1, 1))
    found = calls.call("IF", [pool.stack_of([True, True], (2, 1, 1)), blank, blank], 2, pool)
    assert pool.objects(found).ravel().tolist() == [LIBRARY.empty, 1.0]
    block = pool.stack_of([LIBRARY.empty, 1.0], (1, 2, 1))
    found = calls.call("INDEX", [pool.stack_of([False], ()), block, pool.stack_of([1.0], ())], 1, pool)
    assert pool.objects(found).ravel().tolist() == [LIBRARY.empty]


def test_what_index_hands_on():
    block = [[if_keeps(value) for value in EDGES[n:n + 3]] for n in range(0, 33, 3)]
    places = [0.0, 1.0, 2.0, 3.0, 3.9, 4.0, -1.0, SheetText("a"), True, LIBRARY.empty, LIBRARY.error(
        ErrorValue("#N/A")
    )]
    assert_same("INDEX", False, block, [[place] for place in places])
    for place in places:
        assert_same("INDEX", False, block, place)
        assert_same("INDEX", False, block, 1.0, place)
        assert_same("INDEX", False, block, [[1.0]] * len(block), [[place]] * len(block))


def test_looking_up():
    rows = [random.Random(seed).choices(EDGES[:-5], k=4) for seed in range(40)]
    assert_same("MATCH", [[value] for value in EDGES], [EDGES[:-5]] * len(EDGES), 0.0)
    assert_same("MATCH", [[row[seed % 4]] for seed, row in enumerate(rows)], rows, 0.0)
    assert_same("MATCH", 1.0, rows, 0.0)


@pytest.mark.parametrize("name", BLOCKS)
@pytest.mark.parametrize("few", [False, True])
def test_blocks_of_anything(name, few):
    chance = random.Random(5)
    of = [0.0, 1.0, -0.0, True, False, LIBRARY.empty, SheetText(""), SheetText("a")] if few else EDGES
    rows = [chance.choices(of, k=4) for _ in range(400)]
    rows += [chance.choices(NUMBERS, k=4) for _ in range(50)]
    others = [chance.choices(of, k=4) for _ in range(len(rows))]
    calls = Calls(LIBRARY, [name])
    assert_same(name, rows, calls=calls)
    assert_same(name, rows, others, calls=calls)
    if name == "SUMPRODUCT":
        return
    assert_same(name, rows, [row[:2] for row in others], calls=calls)
    for constant in (*OTHERS, 0.0, -1.0):
        assert_same(name, rows[:40], constant, calls=calls)


finite = st.floats(allow_nan=False, allow_infinity=False)


@settings(max_examples=200, deadline=None)
@given(st.lists(st.tuples(finite, finite), min_size=1, max_size=40))
def test_arithmetic_on_any_numbers(pairs):
    ones, others = [[one] for one, _ in pairs], [[other] for _, other in pairs]
    for name in ("+", "-", "*", "/", "<", "=", ">="):
        assert_same(name, ones, others)
    for name in ("%", "U-", "ABS", "SQRT"):
        assert_same(name, ones)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=40), st.floats(-9, 9))
def test_functions_on_numbers_of_usual_size(values, power):
    column = [[value] for value in values]
    for name in ("EXP", "LN", "SIN", "COS", "ASIN", "RADIANS", "DEGREES"):
        assert_same(name, column)
    assert_same("^", column, power)
    assert_same("ATAN2", column, power)
    assert_same("ROUND", column, 9.0)
