"""Formula patterns as data: which functions to call, in which order, with which arguments.

A *pattern* is a formula whose names are replaced by numbered places, so that the formula of
cylinder 1 and that of cylinder 12 are one pattern. A *plan* is what the recalculator's parser made
of a pattern. Parsing costs milliseconds, so plans are kept on disk between runs as plain JSON:
a plan holds names, numbers and words, and nothing that could run.
"""

from __future__ import annotations

import hashlib
import json
import math
import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from sheetgen.user_cache import is_ours, write_whole
from validators.cell_values import ERROR_TEXTS, ErrorValue

Constant = bool | int | float | str | ErrorValue

FORMAT = 1
"""Raise it whenever the meaning of a stored plan changes."""

FUNCTIONS = frozenset(
    [
        "ABS",
        "AND",
        "ASIN",
        "ATAN2",
        "AVERAGE",
        "COS",
        "COUNT",
        "COUNTBLANK",
        "DEGREES",
        "EXP",
        "HYPERLINK",
        "IF",
        "INDEX",
        "ISNUMBER",
        "ISTEXT",
        "LN",
        "MATCH",
        "MAX",
        "MIN",
        "NOT",
        "OR",
        "PI",
        "RADIANS",
        "ROUND",
        "SIN",
        "SQRT",
        "SUM",
        "SUMPRODUCT",
    ]
)
OPERATORS = frozenset(["+", "-", "*", "/", "^", "%", "U-", "U+", "=", "<>", "<", ">", "<=", ">="])

_LARGEST_FILE = 20_000_000
_MOST_PLANS = 20_000
_FILE_NAME = "formula-patterns.json"


@dataclass(frozen=True, slots=True)
class Step:
    """One call: the function's or operator's name, and the slots its arguments are in."""

    name: str
    arguments: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class PatternPlan:
    """How to compute one pattern.

    Slots are numbered: first the places of the pattern, then the constants, then one for the result
    of each step, in order. A step uses only slots before its own.

    Parameters
    ----------
    places : int
        How many different names the pattern holds.
    constants : tuple
        Numbers, words, booleans and error values.
    steps : tuple of Step
        The calls, in order.
    result : int
        The slot of the cell's value.
    """

    places: int
    constants: tuple[Constant, ...]
    steps: tuple[Step, ...]
    result: int

    def __post_init__(self) -> None:
        if self.places < 0:
            raise ValueError("a plan cannot have fewer than no places")
        own = self.places + len(self.constants)
        for step in self.steps:
            if step.name not in FUNCTIONS and step.name not in OPERATORS:
                raise ValueError(f"{step.name!r} is not an allowed function")
            if not all(0 <= slot < own for slot in step.arguments):
                raise ValueError(f"{step.name} uses a slot that has no value yet")
            own += 1
        if not 0 <= self.result < own:
            raise ValueError("the result has no slot")


def plan_to_data(plan: PatternPlan) -> list[object]:
    """Return the plan as lists, numbers and words."""
    constants = [
        {"error": constant.text} if isinstance(constant, ErrorValue) else constant
        for constant in plan.constants
    ]
    return [plan.places, constants, [[s.name, list(s.arguments)] for s in plan.steps], plan.result]


def plan_from_data(data: object) -> PatternPlan:
    """Return the plan that `data` describes.

    Raises
    ------
    ValueError
        `data` is anything but the description of a plan.
    """
    match data:
        case [places, list(constants), list(steps), result]:
            pass
        case _:
            raise ValueError("not a plan")
    return PatternPlan(
        places=_whole(places),
        constants=tuple(_constant(constant) for constant in constants),
        steps=tuple(_step(step) for step in steps),
        result=_whole(result),
    )


def _whole(value: object) -> int:
    if type(value) is not int:
        raise ValueError(f"{value!r} is not a slot")
    return value


def _constant(value: object) -> Constant:
    if isinstance(value, dict) and set(value) == {"error"} and value["error"] in ERROR_TEXTS:
        return ErrorValue(value["error"])
    if isinstance(value, str | bool | int):
        return value
    if isinstance(value, float) and math.isfinite(value):
        return value
    raise ValueError(f"{value!r} is not a constant")


def _step(value: object) -> Step:
    match value:
        case [str(name), list(arguments)]:
            return Step(name, tuple(_whole(slot) for slot in arguments))
    raise ValueError("not a step")


class PlanStore:
    """Plans kept in one file of a folder.

    A file that is damaged, foreign or written by other versions is passed over as if it were not
    there; a folder that cannot be written is no error, it only costs the time to parse again.

    Parameters
    ----------
    folder : Path or None
        Where the file is. None keeps nothing.
    versions : mapping of str to str
        What the plans depend on. Plans of any other versions are not used.
    """

    def __init__(self, folder: Path | None, versions: Mapping[str, str]) -> None:
        self._path = folder / _FILE_NAME if folder else None
        self._versions = {**versions, "format": str(FORMAT)}

    def load(self) -> dict[str, PatternPlan]:
        """Return the stored plans by pattern; none when there is no usable file."""
        if self._path is None:
            return {}
        try:
            with self._path.open("rb") as file:
                state = os.fstat(file.fileno())
                if state.st_size > _LARGEST_FILE or not is_ours(state):
                    return {}
                content = json.loads(file.read(_LARGEST_FILE), parse_constant=_refuse)
            if content["versions"] != self._versions:
                return {}
            plans = content["plans"]
            if content["digest"] != _digest(plans):
                return {}
            return {str(pattern): plan_from_data(data) for pattern, data in plans.items()}
        except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
            return {}

    def save(self, plans: Mapping[str, PatternPlan]) -> None:
        """Write the plans, together with those that are stored already."""
        if self._path is None:
            return
        merged = {**self.load(), **plans}
        if len(merged) > _MOST_PLANS:
            merged = dict(plans)
        data = {pattern: plan_to_data(merged[pattern]) for pattern in sorted(merged)}
        content = {"versions": self._versions, "digest": _digest(data), "plans": data}
        try:
            self._path.parent.mkdir(parents=True, exist_ok=True)
            write_whole(self._path, json.dumps(content).encode())
        except OSError:
            return


def _refuse(text: str) -> float:
    raise ValueError(f"{text} is not a number")


def _digest(plans: object) -> str:
    text = json.dumps(plans, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()
