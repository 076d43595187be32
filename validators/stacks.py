"""Values of many cells at once: of what kind each is, and its number.

Two arrays stand for many cells, so that numbers are computed as arrays and every other value can be told by
its kind. Texts, and the few results that are no plain value, lie in a pool, and the number is their place.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, NamedTuple, Protocol

import numpy as np
from numpy.typing import NDArray

from validators.cell_values import ERROR_TEXTS, ErrorValue

Objects = NDArray[np.object_]
Kinds = NDArray[np.uint8]
Numbers = NDArray[np.float64]

NUMBER, FALSE, TRUE, EMPTY, NO_TEXT, TEXT, ODD, FIRST_ERROR = range(8)
"""A finite number; the truth values; a blank cell; the text "" and any other; what no cell can hold, such as
an infinite or complex number within a formula; from FIRST_ERROR on, each error value."""

ERRORS = sorted(ERROR_TEXTS)
KINDS = FIRST_ERROR + len(ERRORS)
POOLED = (TEXT, ODD)
TELLING = np.isin(np.arange(KINDS), (NUMBER, TEXT, ODD))
"""The kinds that do not tell the whole value."""


class Stack(NamedTuple):
    """Cells as arrays of one shape, which is () for a constant of a formula.

    Attributes
    ----------
    kinds : array of uint8
    numbers : array of float64
        The number; 0 and 1 for the truth values, 0 for a blank; for texts and odd values their place in the
        pool. Anything for other kinds.
    """

    kinds: Kinds
    numbers: Numbers

    @property
    def is_single(self) -> bool:
        """Whether it is one constant and no array."""
        return self.kinds.ndim == 0

    def at(self, lanes: Any) -> Stack:
        """Return some of the cells."""
        return Stack(self.kinds[lanes], self.numbers[lanes])

    def spread(self, shape: tuple[int, ...]) -> Stack:
        """Return the cells repeated to fill a shape."""
        if self.kinds.shape == shape:
            return self
        return Stack(np.broadcast_to(self.kinds, shape), np.broadcast_to(self.numbers, shape))

    def telling_numbers(self) -> Numbers:
        """Return the numbers where they say more than the kind, 0 elsewhere."""
        return np.where(TELLING[self.kinds], self.numbers, 0.0)


class SheetText(str):
    """Text in a cell, which stays text even when it reads like a number.

    The recalculator takes text such as "3.5" for a number wherever ``float`` would; spreadsheet
    programs count it as text.
    """

    __slots__ = ()

    def __float__(self) -> float:
        raise ValueError(f"{str(self)!r} is text")


class Marks(Protocol):
    """The marks that the recalculator uses for what is not a plain value."""

    empty: object
    """Stands for a blank cell."""

    def error(self, value: ErrorValue) -> object:
        """Return the mark for an error value."""

    def error_value(self, mark: object) -> ErrorValue | None:
        """Return the error value behind a mark; None when it is not an error's mark."""


class Pool:
    """Turns values into stacks and back; holds the texts and odd values of one run.

    Parameters
    ----------
    marks : Marks
        The recalculator's marks.
    """

    def __init__(self, marks: Marks) -> None:
        self._marks = marks
        self._things: list[object] = []
        self._texts: dict[str, int] = {}
        self._of_kind: dict[int, object] = {
            FALSE: False, TRUE: True, EMPTY: marks.empty, NO_TEXT: SheetText(""),
            **{FIRST_ERROR + n: marks.error(ErrorValue(text)) for n, text in enumerate(ERRORS)},
        }

    def told(self, value: object) -> tuple[int, float]:
        """Return the kind and the number of a value as the recalculator has it."""
        if value is self._marks.empty:
            return EMPTY, 0.0
        if isinstance(value, bool | np.bool_):
            return (TRUE, 1.0) if value else (FALSE, 0.0)
        number = finite(value)
        if number is not None:
            return NUMBER, number
        if isinstance(value, SheetText):
            return (TEXT, float(self._text(value))) if value else (NO_TEXT, 0.0)
        error = self._marks.error_value(value)
        if error is not None:
            return FIRST_ERROR + ERRORS.index(error.text), 0.0
        self._things.append(value)
        return ODD, float(len(self._things) - 1)

    def _text(self, text: SheetText) -> int:
        place = self._texts.setdefault(text, len(self._things))
        if place == len(self._things):
            self._things.append(text)
        return place

    def stack_of(self, values: Sequence[object], shape: tuple[int, ...]) -> Stack:
        """Return values of the recalculator as a stack."""
        pairs = [self.told(value) for value in values]
        kinds = np.array([kind for kind, _ in pairs], np.uint8)
        return Stack(kinds.reshape(shape), np.array([n for _, n in pairs], float).reshape(shape))

    def single(self, kind: int, number: float) -> Any:
        """Return one value as the recalculator has it."""
        if kind == NUMBER:
            return number
        return self._things[int(number)] if kind in POOLED else self._of_kind[kind]

    def constant(self, stack: Stack) -> Any:
        """Return the value of a constant."""
        return self.single(int(stack.kinds), float(stack.numbers))

    def objects(self, stack: Stack) -> Objects:
        """Return a stack as an array of the recalculator's values."""
        found: Objects = stack.numbers.astype(object, order="C")
        if stack.kinds.any():
            flat = found.reshape(-1)
            where = np.flatnonzero(stack.kinds)
            kinds, numbers = stack.kinds.reshape(-1)[where], stack.numbers.reshape(-1)[where]
            for n, kind, number in zip(where.tolist(), kinds.tolist(), numbers.tolist(), strict=True):
                flat[n] = self.single(kind, number)
        return found

    def kept(self, stack: Stack, height: int) -> Stack:
        """Return results, one for each cell, as the cells keep them for the formulas that read them."""
        kinds, numbers = np.empty(height, np.uint8), np.empty(height)
        kinds[:], numbers[:] = stack.kinds.ravel(), stack.numbers.ravel()
        for n in np.flatnonzero(kinds == ODD).tolist():
            thing = self._things[int(numbers[n])]
            # A number that no cell can hold, such as the complex one of (-8)^(1/3), is an error.
            kept = SheetText(thing) if isinstance(thing, str) else self._marks.error(ErrorValue("#NUM!"))
            kinds[n], numbers[n] = self.told(kept)
        kinds[kinds == EMPTY] = NUMBER
        return Stack(kinds, numbers)

    def shown(self, stack: Stack) -> Objects:
        """Return kept results as plain values: float, str, bool or ErrorValue."""
        plain: dict[int, object] = {FALSE: False, TRUE: True, NO_TEXT: ""}
        plain |= {FIRST_ERROR + n: ErrorValue(text) for n, text in enumerate(ERRORS)}
        texts = {place: text for text, place in self._texts.items()}
        found: Objects = stack.numbers.astype(object, order="C")
        flat, where = found.reshape(-1), np.flatnonzero(stack.kinds)
        kinds, numbers = stack.kinds.reshape(-1)[where], stack.numbers.reshape(-1)[where]
        flat[where] = [
            str(texts[int(number)]) if kind == TEXT else plain[kind]
            for kind, number in zip(kinds.tolist(), numbers.tolist(), strict=True)
        ]
        return found


def finite(value: object) -> float | None:
    """Return a real number that a cell can hold; None for everything else."""
    if not isinstance(value, int | float | np.integer | np.floating):
        return None
    try:
        number = float(value)
    except OverflowError:
        return None
    return number if math.isfinite(number) else None
