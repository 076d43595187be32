"""Recomputes sheets with the functions of a spreadsheet library.

The library parses a formula and supplies the functions; `validators.replay` calls them for all
cells of a pattern and all sheets of a batch at once. No other module imports the library.
"""

from __future__ import annotations

import functools
import importlib
import os
import platform
import re
import sys
import types
import warnings
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from sheetgen.sources import edition
from sheetgen.user_cache import Keeping, cache_folder, digest_of
from validators.bulk_calls import Function
from validators.cell_values import (
    CellKey,
    CellValue,
    ErrorValue,
    NameTarget,
    block,
    where,
)
from validators.errors import RecalculationError
from validators.formula_order import FormulaCell
from validators.kept_replay import from_data, to_data
from validators.pattern_plans import (
    FORMAT,
    FUNCTIONS,
    OPERATORS,
    Constant,
    PatternPlan,
    PlanStore,
    Step,
)
from validators.replay import Replay, compiled

_HOMES = {
    "info": "ISNUMBER ISTEXT",
    "logic": "AND IF NOT OR",
    "look": "INDEX MATCH",
    "math": "ABS ASIN ATAN2 COS DEGREES EXP LN PI RADIANS ROUND SIN SQRT SUM SUMPRODUCT",
    "stat": "AVERAGE COUNT COUNTBLANK MAX MIN",
}
"""Which module of the library holds which function, so that only these are imported."""

_TOKEN = re.compile(
    r"""(?P<text>"(?:[^"]|"")*")
    |(?P<call>[A-Za-z_][A-Za-z0-9_.]*)(?=\s*\()
    |(?P<name>[A-Za-z_][A-Za-z0-9_.]*)
    |(?P<number>(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)(?:[Ee][+-][0-9]+)?(?![A-Za-z0-9_.]))
    |(?P<error>\#(?:NULL!|DIV/0!|VALUE!|REF!|NAME\?|NUM!|N/A))
    |(?P<space>\s+)
    |(?P<sign><>|<=|>=|[-+*/^%=<>(),])""",
    re.VERBOSE,
)
_NAME = re.compile(
    r"""\"(?:[^"]|"")*\"|[0-9.]+(?:[Ee][+-][0-9]+)?|\#[A-Z0-9/]+[!?]?
    |[A-Za-z_][A-Za-z0-9_.]*(?=\s*\()|([A-Za-z_][A-Za-z0-9_.]*)""",
    re.VERBOSE,
)
"""A name, or something that must not be taken for one: a text, a number, an error value, a function."""

LINK = "HYPERLINK"
_SLOW_IMPORTS = ("scipy.stats", "scipy.linalg", "scipy.interpolate")


def compile_sheet(
    formulas: Mapping[CellKey, str],
    names: Mapping[str, NameTarget],
    *,
    store: PlanStore | None = None,
) -> Replay:
    """Make the formulas of one workbook ready to be computed for any number of sheets.

    Parameters
    ----------
    formulas : mapping of CellKey to str
        Formula text by cell. A formula speaks in defined names only.
    names : mapping of str to NameTarget
        Sheet title, first and last address of every defined name.
    store : PlanStore, optional
        Where parsed patterns are kept between runs; the user's cache folder if left out.

    Returns
    -------
    replay : Replay
        Its ``run`` computes every formula of a batch of sheets.

    Raises
    ------
    RecalculationError
        A formula cannot be read, names something unknown, uses a function that is not allowed, or
        needs its own value.

    Examples
    --------
    >>> names = {"bore_size": ("Bores", "A1", "A3"), "bore_mean": ("Bores", "B1", "B1")}
    >>> replay = compile_sheet({("Bores", "B1"): "=SUM(bore_size)/COUNT(bore_size)"}, names)
    >>> replay.run({("Bores", "A1"): [1.0], ("Bores", "A3"): [2.0]}, 1)["Bores", "B1"].tolist()
    [1.5]
    >>> compile_sheet({("Bores", "B1"): "=SUM(bore_sise)"}, names)
    Traceback (most recent call last):
    validators.errors.RecalculationError: Bores!B1: the name bore_sise is not defined
    """
    if store is None:
        store = PlanStore(cache_folder(), _versions())
    stored = store.load()
    plans: dict[str, PatternPlan] = {}
    blocks = {name: _block(name, target) for name, target in names.items()}
    cells = []
    known: dict[str, str] = {}
    for cell, text in formulas.items():
        pattern, used = _pattern(text, cell, known)
        for name in used:
            if name not in blocks:
                raise RecalculationError(where(cell), f"the name {name} is not defined")
        if pattern not in plans:
            plan = stored.get(pattern)
            usable = plan is not None and plan.places == len(used)
            plans[pattern] = plan if plan and usable else _parsed(pattern, cell, len(used))
        cells.append(FormulaCell(cell, pattern, plans[pattern], tuple(blocks[name] for name in used)))
    if any(stored.get(pattern) != plan for pattern, plan in plans.items()):
        store.save(plans)
    covered = {cell for lines in blocks.values() for line in lines for cell in line}
    return Replay(compiled(cells, sorted(covered.difference(formulas))), _library())


def compile_known(
    known_as: str,
    formulas: Callable[[], Mapping[CellKey, str]],
    names: Callable[[], Mapping[str, NameTarget]],
) -> Replay:
    """Return the same for formulas that were compiled before, in an earlier run too.

    Parameters
    ----------
    known_as : str
        A digest over all formulas and names.
    formulas, names : function
        Return what `compile_sheet` takes; called only if nothing is kept.

    Raises
    ------
    RecalculationError
        As `compile_sheet`.
    """
    keeping = Keeping("formulas", digest_of([known_as, repr(_versions()), str(FORMAT)]), edition())
    kept = from_data(keeping.load())
    if kept is not None:
        return Replay(kept, _library())
    replay = compile_sheet(formulas(), names())
    keeping.save(to_data(replay.compiled))
    return replay


@dataclass(frozen=True, slots=True)
class Difference:
    """A cell for which the replay and the library's own workbook model do not agree."""

    cell: CellKey
    replayed: CellValue
    calculated: CellValue | None
    """None where the model has no value, as in a circle."""


def self_check(replay: Replay, workbook: Path, inputs: Mapping[CellKey, object]) -> list[Difference]:
    """Compare the replay of one sheet with the library's own workbook model.

    The model takes text that reads like a number for a number and the replay does not, so such
    text in `inputs` may show as a difference.

    Parameters
    ----------
    replay : Replay
        What `compile_sheet` returned for the formulas of this workbook.
    workbook : Path
        A file of our own with the same formulas and names. A stranger's file must not be given:
        the model opens the workbooks that a file links to.
    inputs : mapping of CellKey to value
        Content of the input cells; the others are blank.

    Returns
    -------
    differences : list of Difference
        Empty when both agree in every formula cell: same kind, and the same value to 1e-12.
    """
    os.environ.setdefault("TQDM_DISABLE", "1")
    library = _library()
    with library.quiet_import():
        from formulas.excel import ExcelModel

        with_links()
    model = ExcelModel().loads(str(workbook)).finish(complete=False)
    keys = {
        (sheet, address): f"'[{workbook.name}]{sheet.upper()}'!{address}"
        for sheet, address in (*replay.formula_cells, *replay.input_cells)
    }
    given = {
        keys[cell]: [[library.mark(inputs.get(cell))]]
        for cell in replay.input_cells
        if keys[cell] in model.dsp.nodes
    }
    with np.errstate(all="ignore"):
        solution = model.calculate(inputs=given)
    results = replay.run({cell: [value] for cell, value in inputs.items()}, 1)
    differences = []
    for cell in replay.formula_cells:
        replayed = results[cell][0]
        found = solution.get(keys[cell])
        calculated = None if found is None else library.native(found.value.ravel()[0])
        if not _same(replayed, calculated):
            differences.append(Difference(cell, replayed, calculated))
    return differences


@functools.cache
def link_function() -> Function:
    """Return the function of a link, which the library has not, made as the library makes its own.

    A link's cell holds what it shows; where it leads is nothing to calculate with.
    """
    wrap = importlib.import_module("formulas.functions").wrap_ufunc
    function: Function = wrap(lambda goal, shown: shown, input_parser=lambda *given: given)
    return function


def with_links() -> None:
    """Let the library read and compute links, in the way that its documents name for one's own functions."""
    importlib.import_module("formulas.functions").get_functions()[LINK] = link_function()


def _same(one: CellValue, other: CellValue | None) -> bool:
    if isinstance(one, float) and isinstance(other, float):
        return bool(np.isclose(one, other, rtol=1e-12, atol=1e-15))
    return type(one) is type(other) and one == other


class _Library:
    """The spreadsheet library, imported piece by piece when a piece is needed."""

    def __init__(self) -> None:
        with self.quiet_import():
            schedula = importlib.import_module("schedula")
            operand = importlib.import_module("formulas.tokens.operand")
        self.empty: object = schedula.EMPTY
        self._error_type: type = operand.XlError
        self._errors: dict[str, object] = dict(operand.Error.errors)
        self._homes = {name: home for home, names in _HOMES.items() for name in names.split()}

    def function(self, name: str) -> Function:
        """Return the library's function or operator of that name."""
        with self.quiet_import():
            if name == LINK:
                return link_function()
            if name in OPERATORS:
                found = importlib.import_module("formulas.functions.operators").OPERATORS[name]
            else:
                home = importlib.import_module(f"formulas.functions.{self._homes[name]}")
                found = home.FUNCTIONS[name]
        function: Function = found["function"] if isinstance(found, dict) else found
        return function

    def error(self, value: ErrorValue) -> object:
        """Return the library's mark for an error value."""
        return self._errors[value.text]

    def error_value(self, mark: object) -> ErrorValue | None:
        """Return the error value behind a mark; None when it is not an error's mark."""
        return ErrorValue(str(mark)) if isinstance(mark, self._error_type) else None

    def mark(self, value: object) -> object:
        """Return an input as the library's workbook model wants it."""
        if value is None:
            return self.empty
        return self.error(value) if isinstance(value, ErrorValue) else value

    def native(self, value: object) -> CellValue:
        """Return a value of the library as a plain one."""
        if isinstance(value, np.generic):
            value = value.item()
        if value is self.empty:
            return 0.0
        if isinstance(value, str):
            return self.error_value(value) or str(value)
        if isinstance(value, bool):
            return value
        if isinstance(value, int | float):
            return float(value)
        return ErrorValue("#NUM!")

    @contextmanager
    def quiet_import(self) -> Iterator[None]:
        """Import without compiler warnings, and without scipy, which only other functions need.

        Scipy would double the start of the program. Its modules are loaded when one of the
        functions that need them is called.
        """
        later = [name for name in _SLOW_IMPORTS if name not in sys.modules]
        for name in later:
            sys.modules[name] = _LaterModule(name)
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")
                yield
        finally:
            for name in later:
                if isinstance(sys.modules.get(name), _LaterModule):
                    del sys.modules[name]


class _LaterModule(types.ModuleType):
    """Stands in for a module while others are imported, and loads it when it is used."""

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__"):
            raise AttributeError(name)
        if sys.modules.get(self.__name__) is self:
            return functools.partial(_call_later, self.__name__, name)
        return getattr(importlib.import_module(self.__name__), name)


def _call_later(module: str, name: str, *arguments: object, **options: object) -> object:
    return getattr(importlib.import_module(module), name)(*arguments, **options)


@functools.cache
def _library() -> _Library:
    return _Library()


def _versions() -> dict[str, str]:
    _library()
    return {
        "python": platform.python_version(),
        "formulas": importlib.import_module("formulas").__version__,
        "schedula": importlib.import_module("schedula").__version__,
    }


def _block(name: str, target: NameTarget) -> tuple[tuple[CellKey, ...], ...]:
    try:
        return tuple(tuple(line) for line in block(target))
    except ValueError as error:
        raise RecalculationError(f"name {name}", str(error)) from error


def _pattern(text: str, cell: CellKey, known: dict[str, str]) -> tuple[str, list[str]]:
    """Return the formula with numbered places for its names, and the names in that order.

    Formulas that are alike but for their names are read token by token once: `known` holds what came of it.
    """
    places: dict[str, str] = {}

    def put(match: re.Match[str]) -> str:
        name = match[1]
        if name is None or name in ("TRUE", "FALSE"):
            return match[0]
        return places.get(name) or places.setdefault(name, f"_P{len(places)}X")

    bare = _NAME.sub(put, text)
    pattern = known.get(bare)
    if pattern is None:
        pattern, used = _read_pattern(text, cell)
        if used != list(places):
            return pattern, used
        known[bare] = pattern
    return pattern, list(places)


def _read_pattern(text: str, cell: CellKey) -> tuple[str, list[str]]:
    """Return the same, token by token.

    Raises
    ------
    RecalculationError
        The formula cannot be read, or calls a function that is not allowed.
    """
    places: dict[str, int] = {}
    parts = ["="]
    position = len(text) - len(text.lstrip().removeprefix("=").lstrip())
    gap = ""
    while position < len(text):
        match = _TOKEN.match(text, position)
        if match is None:
            raise RecalculationError(
                where(cell), f"the formula cannot be read from {text[position:][:20]!r} on"
            )
        position = match.end()
        kind, token = str(match.lastgroup), match[0]
        if kind == "space":
            gap = " "
            continue
        if kind == "call" and token not in FUNCTIONS:
            raise RecalculationError(where(cell), f"the function {token} is not allowed")
        if kind == "name" and token not in {"TRUE", "FALSE"}:
            token = f"_P{places.setdefault(token, len(places))}X"
        # Blank space matters only where two words would run together.
        parts.append(gap + token if gap and parts[-1][-1].isalnum() and token[0] != "(" else token)
        gap = ""
    return "".join(parts), list(places)


def _parsed(pattern: str, cell: CellKey, places: int) -> PatternPlan:
    try:
        return _parse(pattern, places)
    except Exception as error:
        raise RecalculationError(where(cell), f"the formula cannot be read: {error}") from error


@functools.lru_cache(maxsize=4096)
def _parse(pattern: str, places: int) -> PatternPlan:
    """Let the library parse a pattern, and write down what it would call."""
    library = _library()
    with library.quiet_import(), np.errstate(all="ignore"):
        from formulas.parser import Parser

        with_links()
        formula = Parser().ast(pattern)[1].compile()
    names = _function_names()
    slots: dict[object, int] = {f"_P{place}X": place for place in range(places)}
    constants: list[Constant] = []
    for key, data in formula.dsp.default_values.items():
        slots[key] = places + len(constants)
        constants.append(_constant(library, data["value"]))
    steps: list[Step] = []
    waiting = list(formula.dsp.function_nodes.values())
    while waiting:
        ready = [node for node in waiting if all(name in slots for name in node["inputs"])]
        if not ready:
            raise ValueError("its parts do not follow from one another")
        for node in ready:
            waiting.remove(node)
            (output,) = node["outputs"]
            if id(node["function"]) == names["BYPASS"]:
                slots[output] = slots[node["inputs"][0]]
                continue
            slots[output] = places + len(constants) + len(steps)
            steps.append(Step(names[id(node["function"])], tuple(slots[name] for name in node["inputs"])))
    return PatternPlan(places, tuple(constants), tuple(steps), slots[formula.outputs[0]])


@functools.cache
def _function_names() -> dict[object, Any]:
    """Return the name of each function object; under BYPASS the identity of the empty function."""
    library = _library()
    names: dict[object, Any] = {id(library.function(name)): name for name in sorted(FUNCTIONS | OPERATORS)}
    names["BYPASS"] = id(importlib.import_module("schedula").bypass)
    return names


def _constant(library: _Library, value: object) -> Constant:
    value = np.asarray(value, object)
    if value.size != 1:
        raise ValueError("a list of constants is not allowed")
    item = value.ravel()[0]
    if isinstance(item, np.generic):
        item = item.item()
    error = library.error_value(item)
    if error is not None:
        return error
    if isinstance(item, bool | int | float) or type(item) is str:
        return item
    raise ValueError(f"{item!r} cannot be a constant")


__all__ = ["Difference", "ErrorValue", "Replay", "compile_sheet", "self_check"]
