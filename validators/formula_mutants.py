"""Formulas with one fault each: what a slip of the pen would make of a template's formula.

A formula is read into its parts, one part is changed, and the whole is written out again. Names are
places in the formula, so that one fault serves every cell that the formula is put into.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from sheetgen.formula_parts import Part, read_formula, split_formula
from sheetgen.naming import PLACEHOLDER

OTHER_SIGNS = {
    "+": "-", "-": "+", "*": "/", "/": "*", "^": "*",
    "<": "<= >", "<=": "< >", ">": ">= <", ">=": "> <", "=": "<>", "<>": "=",
}
OTHER_FUNCTIONS = {
    "MIN": "MAX", "MAX": "MIN", "AVERAGE": "MAX MIN", "SUM": "MAX", "SUMPRODUCT": "MAX",
    "SIN": "COS", "COS": "SIN", "ASIN": "SIN", "AND": "OR", "OR": "AND",
    "RADIANS": "DEGREES", "DEGREES": "RADIANS",
}
LEFT_OUT = ("ABS", "SQRT", "ROUND", "RADIANS", "DEGREES", "ASIN", "SIN", "COS")
"""Functions that a person forgets, so that their first argument stands alone."""
LISTS = ("AND", "OR", "COUNT", "MIN", "MAX", "SUM", "SUMPRODUCT", "AVERAGE")
"""Functions whose arguments are a list from which one can be missing."""

MOST_OTHERS = 2
"""References that one is taken for: all of them would only repeat what two show."""

_PRIORITY = {**dict.fromkeys(["=", "<>", "<", ">", "<=", ">="], 1), "+": 2, "-": 2, "*": 3, "/": 3, "^": 4}
_PLACE = re.compile(r"place_([0-9]+)")


@dataclass(frozen=True, slots=True)
class Fault:
    """One changed formula.

    Parameters
    ----------
    change : str
        What was changed, and at the how-manieth part of its kind.
    formula : Part
        The formula with the fault; a name in it is ``place_`` and the number of a reference.
    """

    change: str
    formula: Part


def read_places(text: str) -> tuple[Part, list[str], list[int]]:
    """Return a template's formula with its references as numbered places.

    Returns
    -------
    formula : Part
        The same reference is the same place everywhere.
    places : list of str
        The reference of each place.
    order : list of int
        The places in the order in which the formula speaks of them.

    Examples
    --------
    >>> part, places, order = read_places("={bore_mean}-{hone_order}/{bore_mean}")
    >>> written(part), places, order
    ('place_0-place_1/place_0', ['{bore_mean}', '{hone_order}'], [0, 1, 0])
    """
    places: list[str] = []
    order: list[int] = []

    def numbered(match: re.Match[str]) -> str:
        if match[0] not in places:
            places.append(match[0])
        order.append(places.index(match[0]))
        return f"place_{order[-1]}"

    return read_formula(list(split_formula(PLACEHOLDER.sub(numbered, text)))), places, order


def written(part: Part, names: Sequence[str] | None = None) -> str:
    """Return the text of a formula, its places filled with names.

    Examples
    --------
    >>> sum_of_two = Part("operation", "+", (Part("number", "1"), Part("name", "place_0")))
    >>> product = Part("operation", "*", (sum_of_two, Part("name", "place_1")))
    >>> written(product, ["bore_mean", "pin_size"])
    '(1+bore_mean)*pin_size'
    """
    if part.kind == "name" and names is not None:
        return _PLACE.sub(lambda match: names[int(match[1])], part.text)
    inner = [written(one, names) for one in part.parts]
    if part.kind == "call":
        return f"{part.text}({','.join(inner)})"
    if part.kind == "brackets":
        return f"({inner[0]})"
    if part.kind == "minus":
        return f"-({inner[0]})"
    if part.kind == "operation":
        own = _PRIORITY[part.text]
        first, second = part.parts
        left = f"({inner[0]})" if _priority(first) < own else inner[0]
        right = f"({inner[1]})" if _priority(second) <= own else inner[1]
        return f"{left}{part.text}{right}"
    return part.text


def _priority(part: Part) -> int:
    return _PRIORITY[part.text] if part.kind == "operation" else 9


def faults(
    formula: Part, places: Sequence[str], kinds: Sequence[str], others: Mapping[int, int] | None = None
) -> Iterator[Fault]:
    """Yield every fault of a formula, each different one once.

    Parameters
    ----------
    formula, places
        As `read_places` returns them.
    kinds : sequence of str
        Of each place, what sort of thing stands there: one is only taken for another of its sort.
    others : mapping of int to int, optional
        Of some places, the place of the same reference with another element.

    Examples
    --------
    >>> formula, places, order = read_places("={bore_mean}*2")
    >>> [fault.change for fault in faults(formula, places, ["number"])][:3]
    ['* 1: -> /', '* 1: second term missing', '* 1: first term missing']
    """
    seen = {written(formula)}
    parts = list(_walk(formula))
    texts = list(dict.fromkeys(part.text for part, _ in parts if part.kind == "text"))
    numbers: dict[str, int] = {}
    guards = {id(inner) for part, _ in parts if _is_guard(part) for inner in part.parts[0].parts}
    for part, put in parts:
        label = {"name": "reference", "call": part.text, "operation": part.text}.get(part.kind, part.kind)
        numbers[label] = numbers.get(label, 0) + 1
        if id(part) in guards:
            continue  # another reference in a guard is a guard that does not wait for this one
        for what, changed in _changes(part, texts, kinds, others or {}):
            whole = put(changed)
            if written(whole) not in seen:
                seen.add(written(whole))
                change = _PLACE.sub(lambda match: places[int(match[1])], what)
                yield Fault(f"{label} {numbers[label]}: {change}", whole)


Put = Callable[[Part], Part]


def _walk(part: Part, put: Put = lambda whole: whole) -> Iterator[tuple[Part, Put]]:
    """Yield every part, and the function that puts another one in its place in the whole."""
    yield part, put
    for number, inner in enumerate(part.parts):

        def put_inner(new: Part, number: int = number) -> Part:
            parts = (*part.parts[:number], new, *part.parts[number + 1 :])
            return put(Part(part.kind, part.text, parts))

        yield from _walk(inner, put_inner)


def _changes(
    part: Part, texts: Sequence[str], kinds: Sequence[str], others: Mapping[int, int]
) -> Iterator[tuple[str, Part]]:
    """Yield what may become of one part."""
    if part.kind == "operation":
        yield from _operation_changes(part)
    elif part.kind == "call":
        yield from _call_changes(part)
    elif part.kind == "number":
        for step in (1, -1):
            value = float(part.text) + step
            changed = _number(value)
            yield f"{part.text} -> {written(changed)}", changed
    elif part.kind == "text":
        other = texts[(texts.index(part.text) + 1) % len(texts)]
        if other in (part.text, '""'):
            other = '"something else"'
        yield f"{part.text} -> {other}", Part("text", other)
        if part.text == '""':
            yield f"{part.text} -> 0", Part("number", "0")
    elif part.kind == "name":
        yield from _name_changes(part, kinds, others)


def _number(value: float) -> Part:
    number = Part("number", f"{abs(value):g}")
    if value >= 0:
        return number
    return Part("brackets", "()", (Part("operation", "-", (Part("number", "0"), number)),))


def _operation_changes(part: Part) -> Iterator[tuple[str, Part]]:
    first, second = part.parts
    for sign in OTHER_SIGNS[part.text].split():
        if sign == "/" and second.text == "1":
            continue  # dividing by one is no fault
        yield f"-> {sign}", Part("operation", sign, part.parts)
    if part.text in "+-*/^":
        yield "second term missing", first
        if part.text != "^":
            yield "first term missing", second
    yield from _guard_changes(part)


def _is_guard(part: Part) -> bool:
    """Return whether a part asks how many of several cells are there."""
    if part.kind != "operation" or part.text not in ("<", "="):
        return False
    first, second = part.parts
    return first.text == "COUNT" and second.kind == "number" and len(first.parts) > 1


def _guard_changes(part: Part) -> Iterator[tuple[str, Part]]:
    """Yield the guards that wait for one entry fewer than the formula needs."""
    first, second = part.parts
    if _is_guard(part):
        fewer = Part("number", f"{int(second.text) - 1}")
        for number in range(len(first.parts)):
            kept = (*first.parts[:number], *first.parts[number + 1 :])
            guard = Part("operation", part.text, (Part("call", "COUNT", kept), fewer))
            yield f"does not wait for argument {number + 1}", guard


def _call_changes(part: Part) -> Iterator[tuple[str, Part]]:
    for other in OTHER_FUNCTIONS.get(part.text, "").split():
        yield f"-> {other}", Part("call", other, part.parts)
    if part.text in LEFT_OUT:
        yield "left out", Part("brackets", "()", part.parts[:1])
    if part.text == "IF":
        condition, then, otherwise = part.parts
        yield "branches swapped", Part("call", "IF", (condition, otherwise, then))
        yield "always the first branch", then
        yield "always the second branch", otherwise
    if part.text in LISTS and len(part.parts) > 1:
        for number in range(len(part.parts)):
            kept = (*part.parts[:number], *part.parts[number + 1 :])
            yield f"argument {number + 1} missing", Part("call", part.text, kept)
    if part.text == "ATAN2":
        yield "arguments swapped", Part("call", "ATAN2", part.parts[::-1])


def _name_changes(
    part: Part, kinds: Sequence[str], others: Mapping[int, int]
) -> Iterator[tuple[str, Part]]:
    """Yield the two references of the same sort that follow this one, and another element of it."""
    own = int(part.text.removeprefix("place_"))
    turned = [*range(own + 1, len(kinds)), *range(own)]
    for other in [place for place in turned if kinds[place] == kinds[own]][:MOST_OTHERS]:
        yield f"place_{own} -> place_{other}", Part("name", f"place_{other}")
    if own in others:
        yield f"place_{own} -> place_{others[own]}", Part("name", f"place_{others[own]}")
