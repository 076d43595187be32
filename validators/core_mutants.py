"""Functions of the reference core with one fault each, made from their syntax trees."""

from __future__ import annotations

import ast
import copy
import importlib
import inspect
import pkgutil
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from types import FunctionType, ModuleType
from typing import Any

from validators import reference
from validators.reference.words import Word

MACHINERY = ("constants", "evaluate", "wiring", "words")
"""Modules without an equation: tables, and what calls the functions."""

JUDGING: Mapping[str, str] = {
    "limit_state": "limit_state", "verdict": "verdict",
    "extreme_guard": "guard_used", "chances_of": "guard_used",
}
"""Functions that serve every limited quantity, and how the results end that the wiring makes with them."""

OTHER_OPERATORS: Mapping[type, tuple[type, ...]] = {
    ast.Add: (ast.Sub,), ast.Sub: (ast.Add,), ast.Mult: (ast.Div,), ast.Div: (ast.Mult,),
    ast.Pow: (ast.Mult,), ast.BitAnd: (ast.BitOr,), ast.BitOr: (ast.BitAnd,), ast.And: (ast.Or,),
    ast.Or: (ast.And,), ast.Lt: (ast.LtE, ast.Gt), ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.Lt), ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,), ast.NotEq: (ast.Eq,),
}
SIGNS: Mapping[type, str] = {
    ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/", ast.Pow: "**", ast.BitAnd: "&", ast.BitOr: "|",
    ast.And: "and", ast.Or: "or", ast.Lt: "<", ast.LtE: "<=", ast.Gt: ">", ast.GtE: ">=", ast.Eq: "==",
    ast.NotEq: "!=",
}
OTHER_CALLS = {
    "min": "max", "max": "min", "minimum": "maximum", "maximum": "minimum", "fmin": "fmax", "fmax": "fmin",
    "nanmin": "nanmax", "nanmax": "nanmin", "sum": "max", "nansum": "nanmax", "mean": "max", "sin": "cos",
    "cos": "sin", "tan": "sin", "arcsin": "sin", "any": "all", "all": "any", "floor": "ceil",
    "smallest_present": "largest_present", "largest_present": "smallest_present", "equal": "not_equal",
    "logical_not": "logical_and", "cumsum": "cumprod",
}
LEFT_OUT = ("abs", "sqrt", "rounded_nine", "sign", "floor", "sin", "cos", "tan", "arcsin", "logical_not")
SECOND_ALONE = ("only_where",)
COMMUTATIVE = (
    "equal", "not_equal", "minimum", "maximum", "fmin", "fmax", "logical_and", "logical_or", "first_match",
)
"""Functions for which the order of the arguments is no fault; `first_match` marks where two are equal."""


@dataclass(frozen=True, slots=True)
class CoreFault:
    """One changed function.

    Parameters
    ----------
    where : str
        Module and function.
    change : str
        What was changed, and at the how-manieth part of its kind.
    line : int
        Where in the module.
    original, mutant : str
        The statement as it stands, and with the fault.
    tree : FunctionDef
        The function with the fault.
    """

    where: str
    change: str
    line: int
    original: str
    mutant: str
    tree: ast.FunctionDef

    @property
    def module(self) -> ModuleType:
        """The module of the function."""
        return modules()[self.where.partition(".")[0]]

    @property
    def name(self) -> str:
        """The name of the function."""
        return self.where.partition(".")[2]

    def function(self) -> Callable[..., Any]:
        """Compile the function with its fault, in its own module."""
        whole = ast.fix_missing_locations(ast.Module([self.tree], []))
        made: dict[str, Any] = {}
        exec(compile(whole, f"<fault in {self.where}>", "exec"), self.module.__dict__, made)  # noqa: S102
        return made[self.name]


@cache
def modules() -> Mapping[str, ModuleType]:
    """Return the modules of the core that hold equations, by name."""
    found = [info.name for info in pkgutil.iter_modules(reference.__path__)]
    return {
        name: importlib.import_module(f"{reference.__name__}.{name}")
        for name in found
        if name not in MACHINERY
    }


def functions() -> dict[str, FunctionType]:
    """Return every function of those modules, building blocks and private ones too, as module.name."""
    return {
        f"{name}.{member}": function
        for name, module in modules().items()
        for member, function in inspect.getmembers(module, inspect.isfunction)
        if function.__module__ == module.__name__
    }


@cache
def users() -> Mapping[str, frozenset[str]]:
    """Return for each name the names of the functions that use it, directly or not, and itself."""
    used: dict[str, set[str]] = {}
    for function in functions().values():
        for name in _names(function.__code__):
            used.setdefault(name, set()).add(function.__name__)
    known = {function.__name__ for function in functions().values()}
    found = {}
    for name in known:
        reached, waiting = {name}, [name]
        while waiting:
            for user in used.get(waiting.pop(), set()) - reached:
                reached.add(user)
                waiting.append(user)
        found[name] = frozenset(reached)
    return found


def unreached(results: Collection[str]) -> list[str]:
    """Return the functions, as module.name, that none of these results rests on."""
    serving = {*results, *JUDGING}
    return [where for where, function in functions().items() if not users()[function.__name__] & serving]


def _names(code: Any) -> set[str]:
    inner = [constant for constant in code.co_consts if inspect.iscode(constant)]
    return set(code.co_names).union(*(map(_names, inner)))


def core_faults(where: str) -> Iterator[CoreFault]:
    """Yield every fault of one function, each different one once.

    Examples
    --------
    >>> [fault.change for fault in core_faults("crank.main_eccentricity")][:3]
    ['/ 1: -> *', '/ 1: second term missing', '/ 1: first term missing']
    """
    module_name, _, name = where.partition(".")
    module = modules()[module_name]
    defined = [node for node in _tree(module_name).body if isinstance(node, ast.FunctionDef)]
    tree = next(node for node in defined if node.name == name)
    parameters = [argument.arg for argument in (*tree.args.args, *tree.args.kwonlyargs)]
    seen = {ast.unparse(tree)}
    numbers: dict[str, int] = {}
    for place, statement in enumerate(tree.body):
        if isinstance(statement, ast.Expr) and isinstance(statement.value, ast.Constant):
            continue
        indices = {
            id(inner)
            for node in ast.walk(statement)
            if isinstance(node, ast.Subscript)
            for inner in ast.walk(node.slice)
        }
        for node, put in _walk(statement):
            label = _label(node)
            numbers[label] = numbers.get(label, 0) + 1
            for what, changed in _changes(node, module, parameters, inside_index=id(node) in indices):
                new = put(changed)
                whole = copy.copy(tree)
                whole.body = [*tree.body[:place], new, *tree.body[place + 1 :]]
                text = ast.unparse(whole)
                if text not in seen:
                    seen.add(text)
                    yield CoreFault(
                        where, f"{label} {numbers[label]}: {what}", getattr(node, "lineno", statement.lineno),
                        ast.unparse(statement), ast.unparse(new), whole,
                    )


@cache
def _tree(module: str) -> ast.Module:
    return ast.parse(inspect.getsource(modules()[module]))


def _label(node: ast.AST) -> str:
    match node:
        case ast.BinOp(op=sign) | ast.BoolOp(op=sign) | ast.Compare(ops=[sign]):
            return SIGNS.get(type(sign), type(sign).__name__)
        case ast.Call(func=function):
            return function.attr if isinstance(function, ast.Attribute) else ast.unparse(function)
        case ast.Constant():
            return "number"
        case ast.Name():
            return "name"
        case ast.Attribute():
            return "word"
    return type(node).__name__.lower()


def _walk(
    node: ast.AST, put: Callable[[Any], Any] = lambda whole: whole
) -> Iterator[tuple[ast.AST, Callable[[Any], Any]]]:
    """Yield every node, and the function that puts another one in its place in the whole."""
    yield node, put
    for field, value in ast.iter_fields(node):
        if field in ("annotation", "returns"):
            continue
        items = value if isinstance(value, list) else [value]
        for number, item in enumerate(items):
            if not isinstance(item, ast.AST):
                continue

            def put_inner(new: Any, field: str = field, value: Any = value, number: int = number) -> Any:
                changed = copy.copy(node)
                if isinstance(value, list):
                    new = [*value[:number], new, *value[number + 1 :]]
                setattr(changed, field, new)
                return put(changed)

            yield from _walk(item, put_inner)


def _changes(
    node: ast.AST, module: ModuleType, parameters: list[str], *, inside_index: bool
) -> Iterator[tuple[str, ast.AST]]:
    """Yield what may become of one node.

    A number inside an index is only raised: the element before the first is the last, which is the
    same one on the axes of one element that the wiring makes.
    """
    match node:
        case ast.BinOp(left=left, op=sign, right=right):
            for other in OTHER_OPERATORS.get(type(sign), ()):
                yield f"-> {SIGNS[other]}", ast.BinOp(left, other(), right)
            yield "second term missing", left
            if not isinstance(sign, ast.Pow):
                yield "first term missing", right
        case ast.BoolOp(op=sign, values=values):
            yield "-> the other", ast.BoolOp(OTHER_OPERATORS[type(sign)][0](), values)
        case ast.Compare(left=left, ops=[sign], comparators=right):
            for other in OTHER_OPERATORS.get(type(sign), ()):
                yield f"-> {SIGNS[other]}", ast.Compare(left, [other()], right)
        case ast.UnaryOp(operand=operand) if not isinstance(operand, ast.Constant):
            yield "sign missing", operand
        case ast.Constant(value=value) if isinstance(value, int | float) and not isinstance(value, bool):
            for step in (1,) if inside_index else (1, -1):
                yield f"{value:.12g} -> {value + step:.12g}", ast.Constant(value + step)
        case ast.Attribute(value=ast.Name(id=owner), attr=attribute):
            words = module.__dict__.get(owner)
            if isinstance(words, type) and issubclass(words, Word):
                members = [member.name for member in words]
                other_word = members[(members.index(attribute) + 1) % len(members)]
                yield f"{attribute} -> {other_word}", ast.Attribute(node.value, other_word, ast.Load())
        case ast.Name(id=name, ctx=ast.Load()) if name in parameters and len(parameters) > 1:
            other_name = parameters[(parameters.index(name) + 1) % len(parameters)]
            yield f"{name} -> {other_name}", ast.Name(other_name, ast.Load())
        case ast.IfExp(test=test, body=body, orelse=otherwise):
            yield "branches swapped", ast.IfExp(test, otherwise, body)
        case ast.List(elts=elements) if len(elements) > 1:
            for number in range(len(elements) - 1):
                turned = [*elements]
                turned[number : number + 2] = turned[number : number + 2][::-1]
                yield f"items {number + 1} and {number + 2} swapped", ast.List(turned, ast.Load())
        case ast.Call():
            yield from _call_changes(node)


def _call_changes(node: ast.Call) -> Iterator[tuple[str, ast.AST]]:
    function, arguments = node.func, node.args
    name = function.attr if isinstance(function, ast.Attribute) else ast.unparse(function)
    if name in OTHER_CALLS:
        other = OTHER_CALLS[name]
        renamed = (
            ast.Attribute(function.value, other, ast.Load())
            if isinstance(function, ast.Attribute)
            else ast.Name(other, ast.Load())
        )
        yield f"-> {other}", ast.Call(renamed, arguments, node.keywords)
    if name in LEFT_OUT:
        yield "left out", arguments[0]
    if name in SECOND_ALONE:
        yield "without its condition", arguments[1]
    if name in COMMUTATIVE or any(isinstance(argument, ast.Starred) for argument in arguments):
        return
    for number in range(len(arguments) - 1):
        turned = [*arguments]
        turned[number : number + 2] = turned[number : number + 2][::-1]
        yield f"arguments {number + 1} and {number + 2} swapped", ast.Call(function, turned, node.keywords)
