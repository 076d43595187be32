"""The text of formulas: shared ones written out, those that reach out of the workbook refused."""

from __future__ import annotations

import re
from functools import lru_cache

from lxml import etree
from openpyxl.formula.tokenizer import TokenizerError
from openpyxl.formula.translate import Translator, TranslatorError

from validators.container import Limits, Used, carries
from validators.errors import quoted
from validators.file_kinds import unsafe

REMEMBERED_CHARACTERS = 1024
# A text literal, or a quoted sheet name: whichever begins first owns the marks inside it.
QUOTED_PIECE = re.compile(r"\"(?:[^\"]|\"\")*+\"?|('(?:[^']|'')*+'?)")
OTHER_WORKBOOK = re.compile(r"'[^'\[]*\[[^']*'!|\[[^\[\]]*\][^\s!'\"()\[\],;+\-*/^&=<>:{}%#]*!")
OTHER_PROGRAM = re.compile(r"\||\bDDE\s*\(", re.IGNORECASE)


def reach_outside(formula: str) -> str | None:
    """Return what a formula reads from another workbook or program, None when it stays inside.

    Parameters
    ----------
    formula : str
        Its text.

    Examples
    --------
    >>> reach_outside("'[bores.xlsx]Sheet 1'!A1*2")
    'a formula linked to another workbook'
    >>> reach_outside('IF(A1="a|b[1]!",Parts[Bore],1)')
    """
    if len(formula) <= REMEMBERED_CHARACTERS:
        return _reach_outside(formula)
    return _reach_outside.__wrapped__(formula)


@lru_cache(maxsize=16384)
def _reach_outside(formula: str) -> str | None:
    if "|" in formula or "[" in formula or "DDE" in formula.upper():
        bare = QUOTED_PIECE.sub(lambda piece: piece[1] or '""', formula)
        if OTHER_PROGRAM.search(bare):
            return "a formula that calls another program"
        if OTHER_WORKBOOK.search(bare):
            return "a formula linked to another workbook"
    return None


class FormulaReader:
    """Reads the formulas of one sheet in the order of the file.

    Parameters
    ----------
    title : str
        The sheet's, for messages.
    limits : Limits
        How long formulas may be.
    used : Used
        How much of the limits the sheets before have used up; counted on.
    """

    __slots__ = ("_limits", "_shared", "_title", "_used")

    def __init__(self, title: str, limits: Limits, used: Used) -> None:
        self._title = title
        self._limits = limits
        self._used = used
        self._shared: dict[str, tuple[str, int, int]] = {}

    def read(self, element: etree._Element, row: int, column: int, address: str) -> str:
        """Return the text of a formula without its equals sign, "" when the file does not give it.

        Parameters
        ----------
        element : element
            ``f`` of the cell.
        row, column : int
            Of the cell, from 1.
        address : str
            Of the cell, for messages.

        Raises
        ------
        UnreadableFile
            FILE04 when it reaches out of the workbook, FILE05 when it is too long or ambiguous.
        """
        text = (element.text or "").removeprefix("=")
        if not element.keys() and not len(element) and len(text) <= min(
            REMEMBERED_CHARACTERS, self._limits.formula_characters
        ) and _reach_outside(text) is None:
            return text
        if len(element):
            raise unsafe(f"a formula with elements in it, {self._place(address)}")
        if len(text) > self._limits.formula_characters:
            raise unsafe(
                f"a formula of {len(text)} characters, {self._place(address)}",
                f"formulas of at most {self._limits.formula_characters} characters",
            )
        outside = reach_outside(text)
        if outside:
            raise carries([f"{outside}, {self._place(address)}"])
        kind = element.get("t")
        if kind == "shared":
            return self._read_shared(element.get("si", ""), text, row, column, address)
        if kind == "dataTable":
            return f"TABLE({element.get('r1', '')},{element.get('r2', '')})"
        return text

    def _place(self, address: str) -> str:
        return f"{quoted(self._title)} {address}"

    def _read_shared(self, key: str, text: str, row: int, column: int, address: str) -> str:
        if key not in self._shared:
            if text:
                self._shared[key] = (text, row, column)
            return text
        pattern, first_row, first_column = self._shared[key]
        self._used.shared_formula_characters += len(pattern)
        if self._used.shared_formula_characters > self._limits.shared_formula_characters:
            raise unsafe(f"far too many formulas that share a long text, {self._place(address)}")
        move = _moved if len(pattern) <= REMEMBERED_CHARACTERS else _moved.__wrapped__
        moved = move(pattern, row - first_row, column - first_column)
        if text and text != moved:
            raise unsafe(f"a formula given in two different ways, {self._place(address)}")
        return moved


@lru_cache(maxsize=128)
def _translator(text: str) -> Translator:
    return Translator(f"={text}", "A1")


@lru_cache(maxsize=8192)
def _moved(text: str, rows: int, columns: int) -> str:
    """Return a formula as it reads so many rows and columns further, "" when it cannot be read."""
    remembered = len(text) <= REMEMBERED_CHARACTERS
    try:
        translator = _translator(text) if remembered else _translator.__wrapped__(text)
        return str(translator.translate_formula(None, rows, columns)).removeprefix("=")
    except (TokenizerError, TranslatorError, ValueError, IndexError, AssertionError):
        return ""
