"""Entry rules were lost or changed.

What it finds: entry cells that no longer check what is typed, or that accept something else than when the
workbook was issued: another range, another list, or everything after a warning.
Why it matters: pasting takes the rule away, so a slip is no longer stopped where it happens; a rule that
somebody widened lets it through.
Example: the bore readings of cylinder 3 accept anything.
What to do: look at these entries once more. The numbers are checked here all the same.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from openpyxl.utils import range_boundaries

from sheetgen.planned import PlannedCell
from sheetgen.rules import entry_rule
from validators.checked import Checked
from validators.findings import Note, Severity
from validators.places import read_address
from validators.readings import stored_day
from validators.returned import ReturnedValidation
from validators.together import addresses

CODE = "CELL07"
NAME = "entry-rule-lost"
SEVERITY = Severity.INFORMATION
KINDS = {"decimal": "decimal", "list": "list", "date": "date", "length": "textLength"}
OPERATORS = {"between": "between", ">=": "greaterThanOrEqual", "<=": "lessThanOrEqual"}
DIGITS = 10
"""Bounds that agree to so many digits are the same: programs store 15 or 17 of them."""
ELSEWHERE = "cells"
"""Stands for any list that is kept in cells: programs write the name of its cells or their address."""
MOST_KNOWN = 60
Meaning = tuple[object, ...]
_known: dict[int, tuple[tuple[ReturnedValidation, ...], Mapping[Meaning, Areas]]] = {}
"""By identity of the rules, which are kept so that no others can have it."""


def find(sheet: Checked) -> Iterator[Note]:
    """Look whether every entry cell is still covered by its rule, once per sheet."""
    meanings: dict[str, Meaning] = sheet.plan.kept.setdefault("meanings of entry rules", {})
    still, standing = sheet.places.nothing_moved, sheet.cells
    for title, cells in sheet.recompute.fixed.lockable.items():
        held = sheet.places.sheet(title)
        if held is None:
            continue
        covered = _covered(held.validations)
        bare: list[PlannedCell] = []
        other: list[PlannedCell] = []
        for key, cell in cells:
            if not cell.is_input or standing[key] is None or cell.name in sheet.astray:
                continue
            if cell.key not in meanings:
                meanings[cell.key] = wanted(entry_rule(sheet.plan, cell.key))
            if still:
                in_place, address = True, cell.address
            else:
                located = sheet.located[cell.name]
                in_place, address = located.sheet == held.title, located.address
            meaning = meanings[cell.key]
            if in_place and meaning in covered and address in covered[meaning]:
                continue
            kind = meaning[:1]
            (other if in_place and kind in covered and address in covered[kind] else bare).append(cell)
        if bare:
            yield _note(sheet, bare, "no entry rule any more", "a rule on every entry cell")
        if other:
            yield _note(sheet, other, "another entry rule than when issued", told(meanings[other[0].key]))


def _note(sheet: Checked, cells: Sequence[PlannedCell], what: str, expected: str) -> Note:
    where = addresses([sheet.place(cell).cell for cell in cells])
    return Note(
        place=sheet.place(cells[0]),
        quantity=cells[0].name,
        found=f"{len(cells)} entry cells have {what}: {where}" if len(cells) > 1
        else f"the entry cell has {what}",
        expected=expected,
        todo="Look at these entries once more, and use paste values only.",
    )


def wanted(rule: Mapping[str, Any]) -> Meaning:
    """Return what an entry rule means as it was written.

    Examples
    --------
    >>> wanted({"validate": "decimal", "criteria": "between", "minimum": 5.0, "maximum": 119.99999999999999})
    ('decimal', 'between', '5', '120')
    """
    kind = KINDS[rule["validate"]]
    if kind == "list":
        source = rule["source"]
        return (kind, ELSEWHERE) if isinstance(source, str) else (kind, frozenset(source))
    bounds = [rule[word] for word in ("value", "minimum", "maximum") if word in rule]
    return (kind, OPERATORS[rule["criteria"]], *(_number(bound) for bound in bounds))


def returned(rule: ReturnedValidation) -> Meaning:
    """Return what a rule of a returned file means, spelt as `wanted` does."""
    if not rule.show_error or rule.error_style != "stop":
        return (rule.type, "only warns")
    first = rule.formula1 or ""
    if rule.type == "list":
        if '"' not in first:
            return (rule.type, ELSEWHERE)
        return (rule.type, frozenset(word.strip() for word in first.replace('"', "").split(",")))
    ranged = rule.operator in ("between", "notBetween")
    bounds = (first, rule.formula2 or "") if ranged else (first,)
    return (rule.type, rule.operator, *(_number(bound) for bound in bounds))


def told(meaning: Meaning) -> str:
    """Return what a rule accepts, in words.

    Examples
    --------
    >>> told(("decimal", "between", "5", "120")), told(("list", frozenset({"yes", "no"})))
    ('a number from 5 to 120', 'one of: no, yes')
    """
    kind, *rest = meaning
    if kind == "list":
        (words,) = rest
        if not isinstance(words, frozenset):
            return "a list kept in cells"
        return f"one of: {', '.join(sorted(words))}"
    if kind == "decimal":
        return f"a number from {rest[1]} to {rest[2]}"
    return "a date" if kind == "date" else f"a text of at most {rest[1]} characters"


def _number(bound: object) -> str:
    """Return a bound of a rule to the digits that every program keeps; what is no number stays as it is."""
    if isinstance(bound, datetime.date):
        bound = stored_day(bound.isoformat())
    try:
        return f"{float(str(bound)):.{DIGITS}g}"
    except ValueError:
        return str(bound)


def _covered(rules: tuple[ReturnedValidation, ...]) -> Mapping[Meaning, Areas]:
    """Return the cells that rules cover, by meaning and by kind; what was found before for the same rules."""
    known = _known.get(id(rules))
    if known is None or known[0] is not rules:
        if len(_known) >= MOST_KNOWN:
            _known.clear()
        sorts: dict[Meaning, list[ReturnedValidation]] = {}
        for rule in rules:
            for meaning in (returned(rule), (rule.type,)):
                sorts.setdefault(meaning, []).append(rule)
        known = _known[id(rules)] = rules, {meaning: Areas(members) for meaning, members in sorts.items()}
    return known[1]


class Areas:
    """The cells that rules cover."""

    def __init__(self, rules: Iterable[ReturnedValidation]) -> None:
        self.told: dict[str, bool] = {}
        self.single: set[tuple[int, int]] = set()
        self.boxes: list[tuple[int, int, int, int]] = []
        for rule in rules:
            for area in rule.ranges:
                try:
                    left, top, right, bottom = range_boundaries(area)
                except (ValueError, TypeError):
                    continue  # no range at all: it covers nothing
                if None in (left, top, right, bottom):
                    continue
                if (left, top) == (right, bottom):
                    self.single.add((top, left))
                else:
                    self.boxes.append((left, top, right, bottom))

    def __contains__(self, address: str) -> bool:
        if address not in self.told:
            row, column = read_address(address)
            self.told[address] = (row, column) in self.single or any(
                left <= column <= right and top <= row <= bottom for left, top, right, bottom in self.boxes
            )
        return self.told[address]
