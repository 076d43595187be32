"""Reads a formula into its parts, with the priorities that spreadsheet programs give the signs."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

MOST_LEVELS = 64
"""Brackets and functions that every program lets stand inside one another."""

_TOKEN = re.compile(
    r"""(?P<text>"(?:[^"]|"")*")
    |(?P<exponent>(?:[0-9]+\.?[0-9]*|\.[0-9]+)[Ee][+-]?[0-9]+)
    |(?P<number>[0-9]+\.?[0-9]*|\.[0-9]+)
    |(?P<call>[^\W0-9][\w.]*)(?=\s*\()
    |(?P<name>[^\W0-9][\w.]*)
    |(?P<sign><>|<=|>=|[-+*/^=<>(),])
    |(?P<other>\S)""",
    re.VERBOSE,
)
_COMPARISONS = frozenset({"=", "<>", "<", ">", "<=", ">="})


@dataclass(frozen=True, slots=True)
class Token:
    """A piece of a formula: text, exponent, number, call, name, sign, or other."""

    kind: str
    text: str


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a formula, and the parts it is made of.

    Parameters
    ----------
    kind : str
        ``text``, ``number``, ``exponent``, ``name``; ``call`` with its arguments; ``operation``
        with two parts; ``minus`` or ``brackets`` with one.
    text : str
        The value, name, function or sign.
    parts : tuple of Part
        What it is made of, in order.
    """

    kind: str
    text: str
    parts: tuple[Part, ...] = ()


class FormulaSyntaxError(ValueError):
    """A formula that no spreadsheet program can read."""


def split_formula(text: str) -> Iterator[Token]:
    """Yield the tokens of a formula, without its equals sign and without blank space.

    Examples
    --------
    >>> [token.text for token in split_formula("=PI()/4*bore_mean^2")]
    ['PI', '(', ')', '/', '4', '*', 'bore_mean', '^', '2']
    """
    for match in _TOKEN.finditer(text.strip().removeprefix("=")):
        yield Token(str(match.lastgroup), match[0])


def read_formula(tokens: Sequence[Token]) -> Part:
    """Return the formula as one part.

    Raises
    ------
    FormulaSyntaxError
        Something is missing, left over or nested too deep.

    Examples
    --------
    >>> part = read_formula(list(split_formula("=bore_mean-2*guard_size")))
    >>> part.text, [inner.text for inner in part.parts]
    ('-', ['bore_mean', '*'])
    """
    reader = _Reader(tokens)
    part = reader.comparison()
    if reader.token is not None:
        raise FormulaSyntaxError(f"{reader.token.text} is left over after a complete formula")
    return part


class _Reader:
    """Walks through the tokens; one method for each priority, the weakest first."""

    def __init__(self, tokens: Sequence[Token]) -> None:
        self._tokens = tokens
        self._position = 0
        self._level = 0

    @property
    def token(self) -> Token | None:
        return self._tokens[self._position] if self._position < len(self._tokens) else None

    def comparison(self) -> Part:
        part = self.sum()
        while sign := self._sign(_COMPARISONS):
            part = Part("operation", sign, (part, self.sum()))
        return part

    def sum(self) -> Part:
        part = self.product()
        while sign := self._sign({"+", "-"}):
            part = Part("operation", sign, (part, self.product()))
        return part

    def product(self) -> Part:
        part = self.power()
        while sign := self._sign({"*", "/"}):
            part = Part("operation", sign, (part, self.power()))
        return part

    def power(self) -> Part:
        part = self.signed()
        while self._sign({"^"}):
            part = Part("operation", "^", (part, self.signed()))
        return part

    def signed(self) -> Part:
        minuses = 0
        while sign := self._sign({"-", "+"}):
            minuses += sign == "-"
        part = self.single()
        for _ in range(minuses):
            part = Part("minus", "-", (part,))
        return part

    def single(self) -> Part:
        token = self._next("a value")
        if token.kind in {"text", "number", "exponent", "name"}:
            return Part(token.kind, token.text)
        if token.kind == "call":
            self._next("an opening bracket")
            return Part("call", token.text, self._arguments())
        if token.text == "(":
            self._deeper()
            part = self.comparison()
            self._close()
            return Part("brackets", "()", (part,))
        raise FormulaSyntaxError(f"{token.text} stands where a value belongs")

    def _arguments(self) -> tuple[Part, ...]:
        self._deeper()
        arguments: list[Part] = []
        if self.token is None or self.token.text != ")":
            arguments.append(self.comparison())
            while self._sign({","}):
                arguments.append(self.comparison())
        self._close()
        return tuple(arguments)

    def _deeper(self) -> None:
        self._level += 1
        if self._level > MOST_LEVELS:
            raise FormulaSyntaxError(f"brackets stand more than {MOST_LEVELS} deep in one another")

    def _close(self) -> None:
        self._level -= 1
        token = self._next("a closing bracket")
        if token.text != ")":
            raise FormulaSyntaxError(f"{token.text} stands where a closing bracket belongs")

    def _next(self, wanted: str) -> Token:
        token = self.token
        if token is None:
            raise FormulaSyntaxError(f"the formula ends where {wanted} belongs")
        self._position += 1
        return token

    def _sign(self, signs: frozenset[str] | set[str]) -> str:
        token = self.token
        if token is None or token.kind != "sign" or token.text not in signs:
            return ""
        self._position += 1
        return token.text
