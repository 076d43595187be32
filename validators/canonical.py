"""Brings a formula to one form, whichever program has saved it.

Programs respell a formula without changing it: ``11.5E-6`` comes back as ``0.0000115``, ``TRUE`` as
``TRUE()``, a new function with or without its prefix. Two formulas are the same when their
canonical texts are equal.
"""

from __future__ import annotations

import functools
import re

from openpyxl.formula import Tokenizer
from openpyxl.formula.tokenizer import Token, TokenizerError

_LONGEST_REMEMBERED = 500
"""Longer texts are not remembered: nothing we write is longer, and strangers' texts may be huge."""

_ARRAY_FORMULA = re.compile(r"\s*\{\s*=(.*)\}\s*", re.DOTALL)
_PREFIX = re.compile(r"(?:_XLFN\.|_XLWS\.|_XLPM\.|_XLUDF\.)+")
_MANTISSA = re.compile(r"(?:[0-9]+\.?[0-9]*|\.[0-9]+)[Ee]")
_NUMBER = re.compile(r"(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[Ee][+-]?[0-9]+)?")
_SHEET = re.compile(r"(?P<sheet>'(?:[^']|'')*'|[^'!]*)!(?P<rest>.*)", re.DOTALL)
_CORNER = re.compile(r"\$?(?P<column>[A-Za-z]{1,3})\$?(?P<row>[1-9][0-9]{0,6})")
_COLUMN = re.compile(r"\$?(?P<column>[A-Za-z]{1,3})")
_ROW = re.compile(r"\$?(?P<row>[1-9][0-9]{0,6})")
_LAST_COLUMN = "XFD"
_LAST_ROW = "1048576"


class UnreadableFormula(ValueError):  # a finding about a file, not an error of ours
    """A text that cannot be taken apart as a formula."""


def canonical(text: str, own_sheet: str) -> str:
    """Return the canonical text of a formula.

    Numbers have at most 15 digits; functions, references and names are in capitals; references
    carry their sheet and no ``$``; blank space, unary plus and ``@`` are dropped, and so are the
    prefixes of newer functions. Text in quotation marks stays as it is.

    Parameters
    ----------
    text : str
        The formula as it stands in the file, with or without its equals sign; an array formula in
        braces.
    own_sheet : str
        The title of the sheet it stands in.

    Returns
    -------
    canonical : str
        Without an equals sign.

    Raises
    ------
    UnreadableFormula
        The text is no formula.

    Examples
    --------
    >>> canonical("= $b$2 * 11.5E-6", "Inputs")
    '[INPUTS]B2*1.15e-05'
    >>> canonical("=if(bore_mean>0,TRUE(),false)", "Inputs")
    'IF(BORE_MEAN>0,TRUE,FALSE)'
    >>> canonical("=A1#", "Inputs")
    Traceback (most recent call last):
    validators.canonical.UnreadableFormula: the formula cannot be read: =A1#
    """
    if len(text) > _LONGEST_REMEMBERED:
        return _canonical(text, own_sheet)
    return _remembered(text, own_sheet)


def _canonical(text: str, own_sheet: str) -> str:
    array = _ARRAY_FORMULA.fullmatch(text)
    bare = (array[1] if array else text).strip().removeprefix("=").strip()
    try:
        tokenizer = Tokenizer("=" + bare)
        if tokenizer.token_stack:
            raise TokenizerError("a bracket is not closed")
        joined = _joined(_whole_numbers(tokenizer.items), own_sheet)
        if not joined:
            raise TokenizerError("nothing is computed")
    except (TokenizerError, AssertionError, AttributeError, IndexError, ValueError) as error:
        raise UnreadableFormula(f"the formula cannot be read: {text}") from error
    return f"{{{joined}}}" if array else joined


_remembered = functools.lru_cache(maxsize=16384)(_canonical)


def _whole_numbers(items: list[Token]) -> list[Token]:
    """Put numbers such as ``11.5E-6`` together again, which the tokenizer takes apart."""
    tokens: list[Token] = []
    for item in items:
        if (
            len(tokens) > 1
            and item.type == Token.OPERAND
            and item.value.isdecimal()
            and tokens[-1].value in {"+", "-"}
            and _MANTISSA.fullmatch(tokens[-2].value)
        ):
            sign = tokens.pop()
            mantissa = tokens.pop()
            tokens.append(
                Token(mantissa.value + sign.value + item.value, Token.OPERAND, Token.NUMBER)
            )
        else:
            tokens.append(item)
    return tokens


def _joined(tokens: list[Token], own_sheet: str) -> str:
    parts: list[str] = []
    for position, token in enumerate(tokens):
        if token.type == Token.WSPACE:
            if _ends_operand(tokens, position) and _begins_operand(tokens, position):
                parts.append(" ")
        elif token.type == Token.OPERAND:
            parts.append(_operand(token, own_sheet))
        elif token.type == Token.FUNC and token.subtype == Token.OPEN:
            parts.append(_PREFIX.sub("", _capitals(token.value.lstrip("@"))))
        elif token.type == Token.OP_PRE and token.value in {"+", "@"}:
            continue
        elif (
            token.type == Token.FUNC
            and token.subtype == Token.CLOSE
            and parts
            and parts[-1] in {"TRUE(", "FALSE("}
        ):
            parts[-1] = parts[-1][:-1]
        else:
            parts.append(token.value)
    return "".join(parts)


def _ends_operand(tokens: list[Token], position: int) -> bool:
    before = next(
        (t for t in reversed(tokens[:position]) if t.type != Token.WSPACE),
        None,
    )
    return before is not None and (
        before.type == Token.OPERAND
        or (before.type in {Token.FUNC, Token.PAREN} and before.subtype == Token.CLOSE)
    )


def _begins_operand(tokens: list[Token], position: int) -> bool:
    after = next((t for t in tokens[position + 1 :] if t.type != Token.WSPACE), None)
    return after is not None and (
        after.type == Token.OPERAND
        or (after.type in {Token.FUNC, Token.PAREN} and after.subtype == Token.OPEN)
    )


def _operand(token: Token, own_sheet: str) -> str:
    if token.subtype == Token.TEXT:
        return str(token.value)
    if token.subtype in {Token.LOGICAL, Token.ERROR}:
        return str(token.value).upper()
    if _NUMBER.fullmatch(token.value):
        return format(float(token.value), ".15g")
    return _reference(token.value.lstrip("@"), own_sheet)


def _reference(text: str, own_sheet: str) -> str:
    """Return a reference or name in capitals, with its sheet in brackets and without ``$``."""
    match = _SHEET.fullmatch(text)
    sheet, rest = (match["sheet"], match["rest"]) if match else (None, text)
    if sheet is not None and sheet.startswith("'"):
        sheet = sheet[1:-1].replace("''", "'")
    cells = _cells(rest)
    if cells is not None:
        return f"[{_capitals(own_sheet if sheet is None else sheet)}]{cells}"
    name = _capitals(rest)
    return name if sheet is None else f"[{_capitals(sheet)}]{name}"


def _cells(text: str) -> str | None:
    """Return a cell or block of cells without ``$``; None when the text is neither."""
    first, colon, last = text.partition(":")
    if not colon:
        corner = _CORNER.fullmatch(first)
        return _plain(corner) if corner else None
    last = last.rpartition("!")[2]
    corners = _CORNER.fullmatch(first), _CORNER.fullmatch(last)
    if corners[0] and corners[1]:
        return f"{_plain(corners[0])}:{_plain(corners[1])}"
    columns = _COLUMN.fullmatch(first), _COLUMN.fullmatch(last)
    if columns[0] and columns[1]:
        return f"{columns[0]['column']}1:{columns[1]['column']}{_LAST_ROW}".upper()
    rows = _ROW.fullmatch(first), _ROW.fullmatch(last)
    if rows[0] and rows[1]:
        return f"A{rows[0]['row']}:{_LAST_COLUMN}{rows[1]['row']}"
    return None


def _plain(corner: re.Match[str]) -> str:
    return f"{corner['column'].upper()}{corner['row']}"


def _capitals(text: str) -> str:
    """Return the text in capitals, leaving letters whose capital is that of another letter."""
    if text.isascii():
        return text.upper()
    return "".join(
        letter.upper() if letter.upper().lower() == letter.lower() else letter for letter in text
    )
