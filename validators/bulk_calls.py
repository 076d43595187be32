"""One function of the recalculator over many cells, called no more often than its answers can differ.

Whatever is computed is computed by the recalculator's own function. What may be left out is its wrapper: that
hands plain numbers on one by one and looks for infinite results. So the function within is given all numbers,
and each cell whose result is not finite goes through the wrapper after all. Where kinds alone decide, as for
a text among numbers, the function is asked once for each combination. `plainly` does without all that; tests
hold the two against each other.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from validators.formula_order import ELEMENTWISE
from validators.stacks import (
    EMPTY,
    FALSE,
    FIRST_ERROR,
    KINDS,
    NUMBER,
    ODD,
    POOLED,
    TELLING,
    TEXT,
    TRUE,
    Kinds,
    Marks,
    Numbers,
    Objects,
    Pool,
    Stack,
)

Function = Callable[..., Any]
Lanes = NDArray[np.bool_]

WHOLE = frozenset({"+", "-", "*", "%", "U-", "ABS", "SQRT"})
"""Functions that take whole arrays of numbers and round as they do for one number."""

SINGLY = frozenset(
    {"/", "^", "ASIN", "ATAN2", "COS", "DEGREES", "EXP", "LN", "RADIANS", "ROUND", "SIN"}
)
"""Functions of numbers that are called for each number."""

COMPARISONS = frozenset({"=", "<>", "<", ">", "<=", ">="})
BY_KIND = frozenset({"COUNT", "COUNTBLANK"})
"""Functions for which one number is as good as any other, and one text that is not "" as any other."""

BY_TRUTH = frozenset({"AND", "OR"})
"""Functions to which a number says only whether it is 0."""

AS_NUMBERS = (NUMBER, FALSE, TRUE, EMPTY)
FIRST, SECOND = 1, 2
COMPUTE, PLAINLY, UNKNOWN = 253, 254, 255
MOST_ANSWERS = 50_000
WORTH_SORTING = 64
"""From so many cells on, sorting finds what is different sooner than a look at each."""


class Library(Marks, Protocol):
    """The recalculator's functions and marks."""

    def function(self, name: str) -> Function:
        """Return the function or operator of that name."""


class Calls:
    """Calls functions over stacks.

    Parameters
    ----------
    library : Library
        The recalculator.
    names : iterable of str
        The functions and operators that will be called.
    """

    def __init__(self, library: Library, names: Iterable[str]) -> None:
        self._functions = {name: library.function(name) for name in names}
        self._within = {
            name: inspect.unwrap(function) for name, function in self._functions.items()
            if name in WHOLE | SINGLY | COMPARISONS
        }
        self._choices = np.full(KINDS, UNKNOWN, np.uint8)
        self._tables: dict[tuple[str, int], Kinds] = {}
        self._answers: dict[tuple[object, bytes], tuple[int, float]] = {}
        self._compared_texts: dict[tuple[str, str, str], int] = {}

    def call(self, name: str, arguments: Sequence[Stack], height: int, pool: Pool) -> Stack:
        """Return what a function gives for stacks of shape (height, rows, columns) and for constants."""
        if all(argument.is_single for argument in arguments):
            return self._constant(name, arguments, pool)
        if name in WHOLE or name in SINGLY:
            return self._computed(name, arguments, pool)
        if name in COMPARISONS:
            return self._compared(name, arguments, pool)
        if name == "IF":
            return self._chosen(arguments, pool)
        if name == "INDEX" and not arguments[1].is_single:
            return self._looked_up(arguments, height, pool)
        if name in ELEMENTWISE:
            return self._elements(name, arguments, pool)
        return self._levels(name, arguments, height, pool)

    def plainly(self, name: str, arguments: Sequence[Stack], height: int, pool: Pool) -> Stack:
        """Return the same with a call of the whole function for every cell."""
        if all(argument.is_single for argument in arguments):
            return self._constant(name, arguments, pool)
        if name not in ELEMENTWISE:
            return pool.stack_of(
                _one_by_one(self._functions[name], _given(arguments, pool), height).tolist(), (height, 1, 1)
            )
        shape = _shape(arguments)
        columns = _given([a if a.is_single else _level(a.spread(shape)) for a in arguments], pool)
        size = int(np.prod(shape))
        return pool.stack_of(_one_by_one(self._functions[name], columns, size).tolist(), shape)

    def _constant(self, name: str, arguments: Sequence[Stack], pool: Pool) -> Stack:
        return pool.stack_of([_single(self._functions[name](*map(pool.constant, arguments)))], ())

    # ------------------------------------------------------------ functions of numbers

    def _computed(self, name: str, arguments: Sequence[Stack], pool: Pool) -> Stack:
        kinds = self._looked(name, arguments, pool)
        if name in WHOLE:
            numbers = self._within[name](*(argument.numbers for argument in arguments))
        else:
            numbers = self._one_number_each(name, arguments, kinds == NUMBER)
        doubtful = (kinds == PLAINLY) | ((kinds == NUMBER) & ~np.isfinite(numbers))
        return self._settled(name, Stack(kinds, numbers), doubtful, arguments, pool)

    def _one_number_each(self, name: str, arguments: Sequence[Stack], lanes: Lanes) -> Numbers:
        function = self._within[name]
        columns = [a.spread(lanes.shape).numbers[lanes].tolist() for a in arguments]
        try:
            found = [*map(function, *columns)]
        except Exception:  # such as 0^-1: only where it is raised the whole function must say what it gives
            found = [_tried(function, values) for values in zip(*columns, strict=True)]
        numbers = np.full(lanes.shape, np.nan)
        numbers[lanes] = [value if isinstance(value, float) else np.nan for value in found]
        return numbers

    def _compared(self, name: str, arguments: Sequence[Stack], pool: Pool) -> Stack:
        kinds = self._looked(name, arguments, pool)
        true = self._within[name](arguments[0].numbers, arguments[1].numbers)
        kinds = np.where(kinds == COMPUTE, true + np.uint8(FALSE), kinds)
        doubtful = kinds == PLAINLY
        if doubtful.any():
            kinds, doubtful = self._texts_compared(name, kinds, doubtful, arguments, pool)
        found = Stack(kinds, np.where(kinds == TRUE, 1.0, 0.0))
        return self._settled(name, found, doubtful, arguments, pool)

    def _texts_compared(
        self, name: str, kinds: Kinds, doubtful: Lanes, arguments: Sequence[Stack], pool: Pool
    ) -> tuple[Kinds, Lanes]:
        """Put in what a comparison gives for two texts, and return what is still in doubt.

        The function is asked once for each two texts, in this run or an earlier one.
        """
        one, other = (argument.spread(kinds.shape) for argument in arguments)
        texts = doubtful & (one.kinds == TEXT) & (other.kinds == TEXT)
        pairs = list(zip(one.numbers[texts].tolist(), other.numbers[texts].tolist(), strict=True))
        answers: dict[tuple[float, float], int] = {}
        for pair in dict.fromkeys(pairs):
            first, second = (pool.single(TEXT, place) for place in pair)
            key = name, str(first), str(second)
            answer = self._compared_texts.get(key)
            if answer is None:
                answer, _ = pool.told(_single(self._functions[name](first, second)))
                if len(self._compared_texts) >= MOST_ANSWERS:
                    self._compared_texts.clear()
                self._compared_texts[key] = answer
            answers[pair] = answer
        settled = np.array(kinds)
        settled[texts] = [answers[pair] for pair in pairs]
        return settled, doubtful & ~texts

    def _looked(self, name: str, arguments: Sequence[Stack], pool: Pool) -> Kinds:
        """Return the kind of each result, as far as the kinds of the arguments tell it."""
        table = self._tables.get((name, len(arguments)))
        if table is None:
            make = _comparison_table if name in COMPARISONS else _number_table
            table = self._tables[name, len(arguments)] = make(len(arguments))
        at = tuple(argument.kinds for argument in arguments)
        found: Kinds = table[at]
        if found.max() == UNKNOWN:
            self._ask(name, table, arguments, found == UNKNOWN, pool)
            found = table[at]
        return found

    def _ask(
        self, name: str, table: Kinds, arguments: Sequence[Stack], lanes: Lanes, pool: Pool
    ) -> None:
        """Enter what a function gives for combinations of kinds that have not occurred before."""
        given = [argument.spread(lanes.shape).at(lanes) for argument in arguments]
        places = {kinds: n for n, kinds in enumerate(zip(*(g.kinds.tolist() for g in given), strict=True))}
        for kinds, n in places.items():
            values = (pool.constant(argument.at(n)) for argument in given)
            kind, _ = pool.told(_single(self._functions[name](*values)))
            told = kind >= FIRST_ERROR or (name in COMPARISONS and kind in (FALSE, TRUE))
            table[kinds] = kind if told else PLAINLY

    def _settled(
        self, name: str, found: Stack, doubtful: Lanes, arguments: Sequence[Stack], pool: Pool
    ) -> Stack:
        """Call the whole function where there is doubt."""
        if not doubtful.any():
            return found
        shape = found.kinds.shape
        given = [a if a.is_single else a.spread(shape).at(doubtful) for a in arguments]
        settled = self._elements(name, given, pool)
        kinds, numbers = found.kinds.copy(), np.array(found.numbers)
        kinds[doubtful], numbers[doubtful] = settled
        return Stack(kinds, numbers)

    # ------------------------------------------------------------ functions that hand something on

    def _chosen(self, arguments: Sequence[Stack], pool: Pool) -> Stack:
        """Ask IF, once for each different condition, which of two marks it hands on."""
        condition, one = arguments[:2]
        other = arguments[2] if arguments[2:] else pool.stack_of([False], ())
        choice: Kinds = self._choices[condition.kinds]
        if choice.max() == UNKNOWN:
            choice = self._decided(condition, choice == UNKNOWN, choice, pool)
        takes_one = choice == FIRST
        return Stack(
            np.where(takes_one, one.kinds, np.where(choice == SECOND, other.kinds, choice)),
            np.where(takes_one, one.numbers, other.numbers),
        )

    def _decided(self, condition: Stack, lanes: Lanes, choice: Kinds, pool: Pool) -> Kinds:
        """Return the choices with those put in that have not occurred before, or that need the value."""
        asked = condition.at(lanes)
        first, position = _distinct([asked])
        answers = []
        for n in first:
            answer = _single(self._functions["IF"](pool.constant(asked.at(n)), FIRST, SECOND))
            answers.append(answer if answer in (FIRST, SECOND) else pool.told(answer)[0])
            kind = int(asked.kinds[n])
            if not TELLING[kind]:
                self._choices[kind] = answers[-1]
        decided = np.array(choice)
        decided[lanes] = np.array(answers, np.uint8)[position]
        return decided

    def _looked_up(self, arguments: Sequence[Stack], height: int, pool: Pool) -> Stack:
        """Ask INDEX, once for each different place that is asked for, which of some marks it hands on."""
        option, block, *at = arguments
        function = self._functions["INDEX"]
        marks = np.arange(block.kinds[0].size).astype(object).reshape(block.kinds.shape[1:])
        varied = [argument for argument in at if not argument.is_single]
        first, position = _distinct(varied) if varied else ([0], [0] * height)
        given = _given([argument if argument.is_single else argument.at(first) for argument in at], pool)
        handed_on = partial(function, pool.constant(option), marks)
        answers = _one_by_one(handed_on, given, len(first))
        lanes = np.arange(height)
        places = [answer if type(answer) is int else -1 for answer in answers]
        chosen = np.array(places)[position]
        kinds = block.kinds.reshape(height, -1)[lanes, chosen]
        numbers = block.numbers.reshape(height, -1)[lanes, chosen]
        for n in (n for n, place in enumerate(places) if place < 0):
            kinds[np.array(position) == n] = pool.told(answers[n])[0]
        return Stack(kinds.reshape(height, 1, 1), numbers.reshape(height, 1, 1))

    # ------------------------------------------------------------ any other

    def _elements(self, name: str, arguments: Sequence[Stack], pool: Pool) -> Stack:
        """Call a function that works element by element, once for all that are different."""
        shape = _shape(arguments)
        flat = [a if a.is_single else _level(a.spread(shape)) for a in arguments]
        first, position = _distinct([a for a in flat if not a.is_single])
        columns = _given([a if a.is_single else a.at(first) for a in flat], pool)
        found = _all_at_once(self._functions[name], columns, len(first))
        kinds, numbers = pool.stack_of(found.tolist(), (-1,)).at(position)
        return Stack(kinds.reshape(shape), numbers.reshape(shape))

    def _levels(self, name: str, arguments: Sequence[Stack], height: int, pool: Pool) -> Stack:
        """Call a function of blocks once for each level of the stacks that is different."""
        stacks = [a for a in arguments if not a.is_single]
        keys = _rows_of_kinds(stacks) if name in BY_KIND else None
        if keys is None:
            keys = _rows([_as_told(name, stack) for stack in stacks])
        first, position = _first_places(keys)
        head = self._head(name, arguments)
        known = {
            n: answer for n in first
            if head is not None and (answer := self._answers.get((head, keys[n]))) is not None
        }
        asked = [n for n in first if n not in known]
        given = _given([a if a.is_single else a.at(asked) for a in arguments], pool)
        answers = map(pool.told, _one_by_one(self._functions[name], given, len(asked)))
        fresh = dict(zip(asked, answers, strict=True))
        found = known | fresh
        if head is not None:
            if len(self._answers) + len(fresh) > MOST_ANSWERS:
                self._answers.clear()
            self._answers.update({(head, keys[n]): answer for n, answer in fresh.items()})
        kinds = np.array([found[n][0] for n in first], np.uint8)[position]
        numbers = np.array([found[n][1] for n in first], float)[position]
        return Stack(kinds.reshape(height, 1, 1), numbers.reshape(height, 1, 1))

    def _head(self, name: str, arguments: Sequence[Stack]) -> tuple[object, ...] | None:
        """Return what belongs to the key of an answer that is kept; None where none is kept."""
        if name not in BY_KIND and name not in BY_TRUTH:
            return None
        if any((a.kinds == ODD).any() or (a.is_single and int(a.kinds) in POOLED) for a in arguments):
            return None
        return name, *(
            (int(a.kinds), float(a.numbers)) if a.is_single else a.kinds.shape[1:] for a in arguments
        )


def _number_table(arguments: int) -> Kinds:
    """What is a number to the function is computed; what no cell can hold is left to it."""
    table = np.full((KINDS,) * arguments, UNKNOWN, np.uint8)
    table[np.ix_(*[AS_NUMBERS] * arguments)] = NUMBER
    for axis in range(arguments):
        np.moveaxis(table, axis, 0)[ODD] = PLAINLY
    return table


def _comparison_table(_: int) -> Kinds:
    table = np.full((KINDS, KINDS), UNKNOWN, np.uint8)
    table[NUMBER, NUMBER] = table[NUMBER, EMPTY] = table[EMPTY, NUMBER] = COMPUTE
    table[TEXT, TEXT] = table[ODD] = table[:, ODD] = PLAINLY
    return table


def _as_told(name: str, stack: Stack) -> Stack:
    """Return a stack without what makes no difference to a function."""
    if name in BY_KIND:
        return Stack(stack.kinds, np.where(stack.kinds == ODD, stack.numbers, 0.0))
    if name in BY_TRUTH:
        numbers = stack.telling_numbers()
        return Stack(stack.kinds, np.where(stack.kinds == NUMBER, numbers != 0, numbers))
    return stack


def _shape(arguments: Sequence[Stack]) -> tuple[int, ...]:
    return np.broadcast_shapes(*(argument.kinds.shape for argument in arguments))


def _level(stack: Stack) -> Stack:
    return Stack(stack.kinds.reshape(-1), stack.numbers.reshape(-1))


def _given(arguments: Sequence[Stack], pool: Pool) -> list[Any]:
    """Return arguments as the function takes them: constants as values, stacks as arrays of values."""
    return [pool.constant(a) if a.is_single else pool.objects(a) for a in arguments]


def _rows(stacks: Sequence[Stack]) -> list[bytes]:
    """Return the bytes of all that tells the levels of some stacks apart; 0 and -0 are told apart."""
    height = len(stacks[0].kinds)
    parts: list[NDArray[Any]] = [
        np.ascontiguousarray(stack.telling_numbers().reshape(height, -1)).view(np.uint8) for stack in stacks
    ]
    parts += [stack.kinds.reshape(height, -1) for stack in stacks]
    rows = np.concatenate(parts, axis=1)
    found: Any = rows.view(np.dtype((np.void, rows.shape[1])))
    return list(found.ravel().tolist())


def _rows_of_kinds(stacks: Sequence[Stack]) -> list[bytes] | None:
    """Return the kinds of each level as bytes; None where they do not tell all that matters."""
    height = len(stacks[0].kinds)
    parts = [stack.kinds.reshape(height, -1) for stack in stacks]
    rows = parts[0] if len(parts) == 1 else np.concatenate(parts, axis=1)
    told, width = rows.tobytes(), rows.shape[1]
    if bytes([ODD]) in told:
        return None
    return [told[at:at + width] for at in range(0, len(told), width)]


def _distinct(stacks: Sequence[Stack]) -> tuple[Sequence[int], Sequence[int]]:
    """Return where each different level of some stacks comes first, and which one stands at each place."""
    (kinds, numbers), *more = stacks
    if more or kinds.size != len(kinds) or kinds.size < WORTH_SORTING or (kinds != kinds.flat[0]).any():
        return _first_places(_rows(stacks))
    patterns = np.ascontiguousarray(numbers).reshape(-1).view(np.int64)
    _, first, position = np.unique(patterns, return_index=True, return_inverse=True)
    return first.tolist(), position.tolist()


def _first_places(keys: Sequence[bytes]) -> tuple[list[int], list[int]]:
    """Return where each different key comes first, and which one stands at each place."""
    seen: dict[bytes, int] = {}
    first: list[int] = []
    position: list[int] = []
    for n, key in enumerate(keys):
        known = seen.setdefault(key, len(first))
        if known == len(first):
            first.append(n)
        position.append(known)
    return first, position


def _all_at_once(function: Function, columns: list[Any], size: int) -> Objects:
    """Call a function that works element by element, once for all elements."""
    result = np.asarray(function(*columns), object)
    if result.shape == (size,):
        return result
    # Where plain arithmetic raises, as 0^-1 does, the function gives one answer for all.
    return _one_by_one(
        function, [c[:, np.newaxis] if isinstance(c, np.ndarray) else c for c in columns], size
    )


def _one_by_one(function: Function, stacks: list[Any], size: int) -> Objects:
    """Call a function once for each level of the stacks."""
    result: Objects = np.empty(size, object)
    for n in range(size):
        result[n] = _single(function(*(s[n] if isinstance(s, np.ndarray) else s for s in stacks)))
    return result


def _tried(function: Function, values: Iterable[float]) -> object:
    try:
        return function(*values)
    except Exception:
        return None


def _single(value: object) -> object:
    return np.asarray(value, object).ravel()[0]
