"""A formula of the sheet in words: labels where names stand, and what each function does."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from sheetgen.formula_parts import Part, read_formula, split_formula

LABEL = "«{}»"
SIGNS = {"<>": "is not", "=": "is", "<=": "≤", ">=": "≥", "*": "×", "/": "/", "-": "−"}
CALLS: Mapping[str, str] = {
    "MIN": "the smallest of", "MAX": "the largest of", "AVERAGE": "the mean of", "SUM": "the sum of",
    "COUNT": "how many numbers are in", "COUNTBLANK": "how many blanks are in", "SQRT": "the root of",
    "ABS": "the size of", "SUMPRODUCT": "the sum over all of", "RADIANS": "in radians",
    "DEGREES": "in degrees", "SIN": "sine of", "COS": "cosine of", "ASIN": "arcsine of", "ATAN2": "angle of",
    "EXP": "e to the power", "LN": "natural logarithm of",
}


def in_words(formula: str, labels: Callable[[str], str]) -> str:
    """Return what a formula says.

    The guard around it, which leaves the cell blank until everything is entered, is left out.

    Parameters
    ----------
    formula : str
        As the sheet has it.
    labels : function
        Gives the label of a defined name.

    Examples
    --------
    >>> in_words('=IF(COUNT(bore_least)<1,"",MIN(bore_size_all)/2)', str.upper)
    'the smallest of («BORE_SIZE_ALL») / 2'
    >>> in_words('=IF(bore_mean>0,"yes","no")', str.upper)
    '"yes" if «BORE_MEAN» > 0, otherwise "no"'
    """
    return _words(_unguarded(read_formula(list(split_formula(formula)))), labels)


def _unguarded(part: Part) -> Part:
    """Return a formula without the guards around it that only wait for entries."""
    while (
        part.kind == "call"
        and part.text == "IF"
        and len(part.parts) == 3
        and (part.parts[1].kind, part.parts[1].text) == ("text", '""')
        and _counts(part.parts[0])
    ):
        part = part.parts[2]
    return part


def _counts(part: Part) -> bool:
    """Return whether a condition asks for nothing but how many entries are there."""
    if part.kind != "operation" or part.text not in ("<", "="):
        return False
    left = part.parts[0]
    return left.kind == "call" and left.text == "COUNT"


def _words(part: Part, labels: Callable[[str], str]) -> str:
    told = [_words(inner, labels) for inner in part.parts]
    if part.kind == "operation":  # a choice inside a sum is told in brackets
        told = [
            f"({text})" if (inner.kind, inner.text) == ("call", "IF") else text
            for text, inner in zip(told, part.parts, strict=True)
        ]
    if part.kind == "name":
        return part.text if part.text in ("TRUE", "FALSE") else LABEL.format(labels(part.text))
    if part.kind == "operation":
        sign = SIGNS.get(part.text, part.text)
        if told[1] == '""' and sign in ("is", "is not"):
            return f"{told[0]} {sign} blank"
        return f"{told[0]} {sign} {told[1]}"
    if part.kind == "minus":
        return f"−{told[0]}"
    if part.kind == "brackets":
        return f"({told[0]})"
    if part.kind == "call":
        return _call(part.text, told)
    return "blank" if part.text == '""' else part.text


def _call(name: str, told: list[str]) -> str:
    if name == "PI":
        return "π"
    if name == "IF" and len(told) == 3:
        return f"{told[1]} if {told[0]}, otherwise {told[2]}"
    if name in ("AND", "OR"):
        return "(" + f" {name.lower()} ".join(told) + ")"
    if name == "ROUND" and len(told) == 2:
        return f"({told[0]}) rounded to {told[1]} decimals"
    if name == "INDEX" and len(told) == 2:
        return f"number ({told[1]}) of {told[0]}"
    if name == "MATCH" and len(told) >= 2:
        return f"the place of {told[0]} in {told[1]}"
    return f"{CALLS.get(name, name)} ({'; '.join(told)})"
