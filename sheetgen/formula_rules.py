"""Which formulas and names may be written into a workbook.

The rules keep to what every common spreadsheet program computes alike. Each rule stands for a
difference that was measured between programs, or for a habit that hides a mistake: a bare number,
a bare address, a minus sign that binds otherwise than on paper.

`formula_parts` reads a formula; this module judges what it has read.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from itertools import pairwise

from sheetgen.errors import nearest
from sheetgen.formula_parts import FormulaSyntaxError, Part, Token, read_formula, split_formula

LONGEST_FORMULA = 8192
"""Characters that every program accepts in one formula."""

LONGEST_READABLE = 700
"""Characters that a person can still follow; longer formulas are split over named cells.

Names are whole words of up to 64 characters, so this is some twenty of them. The longest formulas
are the count of a sheet's missing entries and the verdict with its guard band, the same everywhere.
"""

LONGEST_NAME = 64

MOST_ARGUMENTS = 255

FUNCTIONS: dict[str, tuple[int, int]] = {
    "ABS": (1, 1),
    "AND": (1, MOST_ARGUMENTS),
    "ASIN": (1, 1),
    "ATAN2": (2, 2),
    "AVERAGE": (1, MOST_ARGUMENTS),
    "COS": (1, 1),
    "COUNT": (1, MOST_ARGUMENTS),
    "COUNTBLANK": (1, 1),
    "DEGREES": (1, 1),
    "EXP": (1, 1),
    "HYPERLINK": (2, 2),
    "IF": (3, 3),
    "INDEX": (2, 3),
    "ISNUMBER": (1, 1),
    "ISTEXT": (1, 1),
    "LN": (1, 1),
    "MATCH": (3, 3),
    "MAX": (1, MOST_ARGUMENTS),
    "MIN": (1, MOST_ARGUMENTS),
    "NOT": (1, 1),
    "OR": (1, MOST_ARGUMENTS),
    "PI": (0, 0),
    "RADIANS": (1, 1),
    "ROUND": (2, 2),
    "SIN": (1, 1),
    "SQRT": (1, 1),
    "SUM": (1, MOST_ARGUMENTS),
    "SUMPRODUCT": (1, MOST_ARGUMENTS),
}
"""The functions that may be used, with the least and the greatest number of arguments."""

NUMBERS: dict[str, str] = {
    "0": "none, the bound between plus and minus, an exact match in MATCH",
    "1": "unity, one of something, turns a comparison into a number",
    "2": "doubling, halving, the square, a radius from a diameter",
    "3": "the third power, three of something",
    "4": "a quarter: the area of a circle is pi/4 times the square of its diameter",
    "5": "five of something",
    "9": "the decimals to which figures are rounded before they are compared",
    "12": "a resolution squared over 12 is the variance of reading to the nearest step",
    "90": "a quarter turn, in degrees",
    "180": "half a turn, in degrees",
}
"""The numbers that may stand in a formula, and what for. Every other one is a named constant.

How many cells COUNT has to find is free: ``COUNT(...)<6``.
"""

_NAME = re.compile(r"[a-z]{2,}[a-z0-9]*(_[a-z0-9]+)+")
_ADDRESS = re.compile(r"[A-Za-z]{1,3}[0-9]{1,7}")
_COMPARISONS = frozenset({"=", "<>", "<", ">", "<=", ">="})
_FOLDING = frozenset({"SUM", "MIN", "MAX", "AVERAGE", "COUNT", "COUNTBLANK", "SUMPRODUCT"})
"""Functions that make one value of a block."""

_SINGLE = frozenset({"INDEX", "MATCH", "PI"})
"""Functions that give one value and are at home inside SUMPRODUCT too."""

_SIGNS = {
    "&": "& joins figures differently from program to program: show the parts in their own cells",
    "'": "an apostrophe marks a sheet title: formulas speak in names",
    "!": "! refers to a sheet by its title: formulas speak in names",
    "$": "$ belongs to a cell address: formulas speak in names",
    ":": ": makes a block of two addresses: give the block a name",
    "{": "braces make a list of constants: put the list in cells and name it",
    "}": "braces make a list of constants: put the list in cells and name it",
    "[": "brackets like [ refer to a table or another file: formulas speak in names",
    "]": "brackets like ] refer to a table or another file: formulas speak in names",
    "#": "# refers to an error or to a spilled block: neither is written into a formula",
    "@": "@ is not understood by every program: leave it out",
    "%": "% hides a factor of a hundred: divide by a named constant",
    ";": "; separates arguments only in some languages: use a comma",
    "\\": "a backslash has no meaning in a formula",
}


def lint_formula(
    text: str, names: Collection[str], blocks: Collection[str] = frozenset()
) -> list[str]:
    """Say what is wrong with a formula.

    Parameters
    ----------
    text : str
        The formula, with or without its equals sign.
    names : collection of str
        Every name that the workbook defines.
    blocks : collection of str
        Those of them that stand for more than one cell. With them it is also checked that a block
        stands only where programs agree on what to do with it.

    Returns
    -------
    faults : list of str
        One sentence for each fault; empty for a good formula.

    Examples
    --------
    >>> lint_formula("=PI()/4*bore_mean^2", {"bore_mean"})
    []
    >>> lint_formula("=25.4*bore_mean", {"bore_mean"})
    ['the number 25.4 has no name: put it on the constants sheet, with its source']
    """
    if len(text) > LONGEST_FORMULA:
        return [f"the formula has {len(text)} characters; programs accept {LONGEST_FORMULA}"]
    faults: list[str] = []
    if len(text) > LONGEST_READABLE:
        faults.append(
            f"the formula has {len(text)} characters; beyond {LONGEST_READABLE} nobody can follow "
            "it: split it over named cells"
        )
    tokens = list(split_formula(text))
    faults += [fault for token in tokens for fault in _token_faults(token, names)]
    faults += _minus_faults(tokens)
    if not any(token.kind == "other" for token in tokens):
        try:
            tree = read_formula(tokens)
        except FormulaSyntaxError as error:
            faults.append(str(error))
        else:
            faults += _number_faults(tree)
            faults += _part_faults(tree)
            faults += _block_faults(tree, blocks)
    return list(dict.fromkeys(faults))


def lint_name(name: str) -> list[str]:
    """Say what is wrong with a name.

    Parameters
    ----------
    name : str
        A name to be defined in a workbook.

    Returns
    -------
    faults : list of str
        One sentence for each fault; empty for a good name.

    Examples
    --------
    >>> lint_name("bore_mean_3")
    []
    >>> lint_name("rod1")
    ["'rod1' holds no underscore, and could be read as a cell address"]
    """
    faults = []
    if len(name) > LONGEST_NAME:
        faults.append(f"{name!r} has {len(name)} characters; {LONGEST_NAME} are allowed")
    if "_" not in name:
        faults.append(f"{name!r} holds no underscore, and could be read as a cell address")
    elif not _NAME.fullmatch(name):
        faults.append(
            f"{name!r} is not two or more small letters, then groups of small letters and digits, "
            "each after one underscore"
        )
    elif name.startswith(("true_", "false_")):
        faults.append(f"{name!r} begins like TRUE or FALSE, which trips the recalculator's parser")
    return faults


def _token_faults(token: Token, names: Collection[str]) -> Iterator[str]:
    text = token.text
    if token.kind == "exponent":
        yield f"{text} is an exponent, which not every program reads: name the constant"
    elif token.kind == "call" and text not in FUNCTIONS:
        if text.upper() in FUNCTIONS:
            yield f"the function {text} is written in capitals: {text.upper()}"
        else:
            yield (
                f"the function {text} is not one that all programs compute alike; allowed are "
                f"{', '.join(FUNCTIONS)}"
            )
    elif token.kind == "name" and text not in names:
        if _ADDRESS.fullmatch(text):
            yield f"{text} is a cell address: formulas speak in names"
        elif text.upper() in {"TRUE", "FALSE"}:
            yield f"{text} is not a number in every program: use 1 and 0, or words"
        else:
            yield f"the name {text} is not defined{nearest(text, names)}"
    elif token.kind == "other":
        yield _SIGNS.get(text, f"the sign {text} has no place in a formula")


def _number_faults(part: Part) -> Iterator[str]:
    """Yield the numbers without a name; how many of something COUNT must find needs none."""
    if part.kind == "number" and part.text not in NUMBERS:
        yield f"the number {part.text} has no name: put it on the constants sheet, with its source"
    counted = part.text in _COMPARISONS and any(
        inner.kind == "call" and inner.text in {"COUNT", "COUNTBLANK"} for inner in part.parts
    )
    for inner in part.parts:
        if not (counted and inner.kind == "number" and inner.text.isdecimal()):
            yield from _number_faults(inner)


def _minus_faults(tokens: list[Token]) -> Iterator[str]:
    for one, following in pairwise(tokens):
        if one.text in {"-", "+"} and following.text in {"-", "+"}:
            yield (
                f"{one.text}{following.text} in a row is read differently from program to program: "
                "multiply a comparison by 1, and put a negative term in brackets"
            )


def _part_faults(part: Part) -> Iterator[str]:
    """Yield the faults of a part and of everything in it."""
    for inner in part.parts:
        yield from _part_faults(inner)
    if part.kind == "call":
        yield from _call_faults(part)
    elif part.kind == "operation":
        yield from _operation_faults(part)
    elif part.kind == "minus" and part.parts[0].kind == "text":
        yield f"text {part.parts[0].text} is negated"


def _operation_faults(part: Part) -> Iterator[str]:
    first, second = part.parts
    if part.text == "^":
        if first.kind == "minus":
            yield (
                "a minus before ^ is applied first by spreadsheets, last on paper: "
                "write brackets round the power or round the minus"
            )
        if first.kind == "operation" and first.text == "^":
            yield "two powers in a row are computed from the left in a sheet: write brackets"
    elif part.text in _COMPARISONS:
        if first.kind == "operation" and first.text in _COMPARISONS:
            yield f"{first.text} and {part.text} in a row do not mean between: use AND"
        if part.text not in {"=", "<>"} and "text" in {first.kind, second.kind}:
            yield f"text is compared by {part.text}: programs sort text and numbers differently"
    if part.text in {"+", "-", "*", "/", "^"} and "text" in {first.kind, second.kind}:
        yield f"text is an operand of {part.text}: that is an error in every program"


def _call_faults(part: Part) -> Iterator[str]:
    least, most = FUNCTIONS.get(part.text, (0, MOST_ARGUMENTS))
    if not least <= len(part.parts) <= most:
        wanted = str(least) if least == most else f"{least} to {most}"
        yield f"{part.text} takes {wanted} arguments, not {len(part.parts)}"
    elif part.text in _FOLDING:
        yield from _folding_faults(part.text, part.parts)
    else:
        yield from _argument_faults(part)


def _argument_faults(part: Part) -> Iterator[str]:
    if part.text in {"AND", "OR", "NOT"}:
        if any(argument.kind == "text" for argument in part.parts):
            yield f"{part.text} is given text, which programs treat differently"
    elif part.text == "MATCH":
        if part.parts[2].text != "0":
            yield "MATCH looks for the exact value only when its third argument is 0"
        if part.parts[1].kind != "name":
            yield "MATCH searches a named block, not a computed one"
    elif part.text == "INDEX":
        if part.parts[0].kind != "name":
            yield "INDEX takes from a named block, not from a computed one"
        if any(argument.text == "0" for argument in part.parts[1:]):
            yield "INDEX with 0 means a whole row or column, which is not read alike: name it"


def _folding_faults(name: str, given: tuple[Part, ...]) -> Iterator[str]:
    if name == "COUNTBLANK":
        if given[0].kind != "name":
            yield "COUNTBLANK counts in a named block"
    elif name == "SUMPRODUCT":
        for argument in given:
            if argument.kind == "operation" and argument.text in _COMPARISONS:
                yield "a bare comparison in SUMPRODUCT counts as nothing: multiply it by 1"
            yield from _inside_product(argument)
    else:
        if any(map(_may_be_text, given)):
            yield f"{name} is given text directly, which programs treat differently: name its cell"
        if name == "COUNT" and not all(map(_is_cell, given)):
            yield "COUNT of a computed value counts errors differently: count the cell it is in"


def _may_be_text(part: Part) -> bool:
    if part.kind == "call" and part.text == "IF":
        return any(map(_may_be_text, part.parts[1:]))
    return part.kind == "text" or (part.kind == "brackets" and _may_be_text(part.parts[0]))


def _is_cell(part: Part) -> bool:
    return part.kind == "name" or (part.kind == "call" and part.text == "INDEX")


def _inside_product(part: Part) -> Iterator[str]:
    if part.kind == "call":
        if part.text not in _FOLDING | _SINGLE:
            yield f"{part.text} inside SUMPRODUCT does not go through a block in every program"
        return
    for inner in part.parts:
        yield from _inside_product(inner)


def _block_faults(part: Part, blocks: Collection[str], where: str = "") -> Iterator[str]:
    """Yield each place where a block stands and one value belongs.

    `where` is the function whose argument this is, while blocks are welcome in it.
    """
    if part.kind == "name" and part.text in blocks and not where:
        yield (
            f"{part.text} is a block where one value belongs: programs differ on which of its "
            "cells is meant"
        )
    for number, inner in enumerate(part.parts):
        welcome = ""
        if part.kind == "call":
            if part.text in _FOLDING or (part.text, number) in {("INDEX", 0), ("MATCH", 1)}:
                welcome = part.text
        elif where == "SUMPRODUCT":
            welcome = where
        yield from _block_faults(inner, blocks, welcome)
