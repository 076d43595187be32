"""Compute every result of a build: parameter names are the wiring."""

import inspect
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter

import numpy as np

from validators.reference.constants import BOLT_CLASSES, CONSTANTS, MATERIALS
from validators.reference.extremes import CHANCES, SPREADS, chances_of, extreme_guard
from validators.reference.value import Value
from validators.reference.verdict import limit_state, verdict
from validators.reference.wiring import (
    Axes,
    CircularWiringError,
    MissingParameterError,
    Parameter,
    Relations,
    ShapeError,
    Shapes,
    WiringError,
    aligned,
    extra_axes,
    find_functions,
    read_parameter,
)

__not_quantities__ = ("evaluate",)

EXACT_GUARD = "exact_guard"
# What is put together from many quantities, for the functions that only count.
_COLLECTED: Mapping[str, Axes] = {
    "item_verdict": ("item", "place"),
    "stage_entry_blank": ("stage", "entry"),
}


@dataclass(frozen=True, slots=True)
class Limited:
    """A quantity that has limits, the guard it is judged with, the SI size of its shown unit."""

    quantity: str
    guard: str
    shown_unit: Value


@dataclass(frozen=True, slots=True)
class _Node:
    """One result: what it needs, and how it follows from the values known so far."""

    needs: tuple[str, ...]
    compute: Callable[[Mapping[str, Value]], Value]


def evaluate(
    inputs: Mapping[str, Value],
    shapes: Shapes,
    relations: Relations,
    limited: Sequence[Limited],
    wanted: Iterable[str] | None = None,
    *,
    required: Mapping[str, Sequence[str]] | None = None,
    items: Sequence[str] | None = None,
    functions: Sequence[Callable[..., Value]] | None = None,
) -> dict[str, Value]:
    """Compute results from inputs, for one build or for a batch of builds with one layout.

    Parameters
    ----------
    inputs : mapping of key to array
        Batch axes first, then the axes of the key. Given and read values, fixed numbers, limits,
        codes of texts, `shown_length` and `shown_mass`; nan is missing. An input stands in the
        place of the constant or the result of its name.
    shapes : Shapes
        Axes of every key and labels of every axis.
    relations : mapping of axis names to element numbers
        ("cylinder", "crankpin") gives the crankpin of every cylinder; likewise
        ("cylinder", "bank"), ("rodbolt", "cylinder"), ("sized", "feature"), ("sized", "body"), and
        for the members of fits
        ("fit", "sized", "hole"), ("fit", "feature", "hole") and the same with "shaft".
    limited : sequence of Limited
        The quantities that get a limit state and a verdict.
    wanted : names, optional
        The results to return; every one if not given.
    required : mapping of stage to keys, optional
        The entries whose blanks are counted, per sheet. Without it nothing can be counted.
    items : sequence of names of verdicts, optional
        The checked items in their order: the limited quantities and the ring gap if not given.
    functions : sequence of functions, optional
        In the place of those of this package.

    Returns
    -------
    evaluate : dict of name to array
        Batch axes first, then the axes of the result. Never infinite.

    Raises
    ------
    WiringError
        Functions, shapes and inputs do not fit together.
    """
    shapes = _with_verdicts(shapes, limited)
    values = _known_values(inputs, shapes)
    nodes = _function_nodes(find_functions() if functions is None else functions, shapes, relations)
    for record in limited:
        nodes |= _limit_nodes(record, shapes, relations)
    if items is None:
        items = [*(f"{record.quantity}_verdict" for record in limited), "ring_gap_verdict"]
    nodes["item_verdict"] = _item_node(items, shapes)
    if required is not None:
        nodes["stage_entry_blank"] = _stage_node(required, shapes)

    names = [name for name in nodes if name not in _COLLECTED] if wanted is None else list(wanted)
    for name in _in_order(names, nodes, values):
        values[name] = nodes[name].compute(values)
    return {name: values[name] for name in names}


def _with_verdicts(shapes: Shapes, limited: Sequence[Limited]) -> Shapes:
    """Add the axes of what follows from the limits, and of what is collected for counting."""
    axes_of = {"shown_length": (), "shown_mass": (), **shapes.axes_of, **_COLLECTED}
    for record in limited:
        limits = [name for name in _limits_of(record.quantity) if name in axes_of]
        if record.quantity not in axes_of or not limits:
            raise WiringError(f"{record.quantity} or its limits are not in the shapes")
        axes_of[f"{record.quantity}_limit_state"] = axes_of[limits[0]]
        axes_of[f"{record.quantity}_verdict"] = axes_of[record.quantity]
        if _is_extreme(record):
            axes_of[f"{record.quantity}_guard_used"] = axes_of[limits[0]]
    return Shapes(axes_of, shapes.labels_of)


def _is_extreme(record: Limited) -> bool:
    return record.quantity in CHANCES or record.quantity in SPREADS


def _limits_of(quantity: str) -> tuple[str, str]:
    return f"{quantity}_lower", f"{quantity}_upper"


def _known_values(inputs: Mapping[str, Value], shapes: Shapes) -> dict[str, Value]:
    """Inputs as arrays with checked shapes, over the constants of this package."""
    values: dict[str, Value] = {name: np.asarray(value) for name, value in CONSTANTS.items()}
    values["material_expansion"] = np.array([material.expansion for material in MATERIALS])
    values["material_modulus"] = np.array([material.modulus for material in MATERIALS])
    values["bolt_class_proof"] = np.array([listed.proof_stress for listed in BOLT_CLASSES])
    values["bolt_class_yield"] = np.array([listed.yield_stress for listed in BOLT_CLASSES])
    for key, given in inputs.items():
        if key not in shapes.axes_of:
            raise WiringError(f"the input {key} is not in the shapes")
        value = given if hasattr(given, "shape") else np.asarray(given, dtype=float)
        extents = shapes.extents(shapes.axes_of[key])
        found = np.shape(value)
        if found[len(found) - len(extents) :] != extents:
            raise ShapeError(key, found, f"(..., {extents}) for {shapes.axes_of[key]}")
        values[key] = value
    return values


def _function_nodes(
    functions: Sequence[Callable[..., Value]], shapes: Shapes, relations: Relations
) -> dict[str, _Node]:
    nodes: dict[str, _Node] = {}
    for function in functions:
        name = function.__name__
        if name not in shapes.axes_of:
            continue
        if name in nodes:
            raise WiringError(f"two functions are called {name}")
        parameters = list(inspect.signature(function).parameters)
        nodes[name] = _called(name, function, parameters, shapes, relations)
    return nodes


def _limit_nodes(record: Limited, shapes: Shapes, relations: Relations) -> dict[str, _Node]:
    """Limit state, verdict and, of an extreme, its guard; a limit that no key stands for is never set."""
    quantity, guard_name = record.quantity, record.guard
    named: list[tuple[str, Callable[..., Value], Sequence[str]]] = []
    if _is_extreme(record):
        guard_name = f"{quantity}_guard_used"

        def widened(**given: Value) -> Value:
            chances = chances_of(quantity, given["layout_cylinders"])
            return extreme_guard(given[record.guard], given["guard_factor"], chances)

        named.append((guard_name, widened, [record.guard, "guard_factor", "layout_cylinders"]))
    lower, upper = _limits_of(quantity)
    limits = [limit for limit in (lower, upper) if limit in shapes.axes_of]

    def state(**given: Value) -> Value:
        return limit_state(given.get(lower, np.nan), given.get(upper, np.nan), record.shown_unit)

    def judged(**given: Value) -> Value:
        value = given[quantity]
        guard = np.zeros(np.shape(value)) if record.guard == EXACT_GUARD else given[guard_name]
        low, high = given.get(lower, np.nan), given.get(upper, np.nan)
        return verdict(value, low, high, guard, record.shown_unit)

    guards = [] if record.guard == EXACT_GUARD else [guard_name]
    named.append((f"{quantity}_limit_state", state, limits))
    named.append((f"{quantity}_verdict", judged, [quantity, *limits, *guards]))
    return {
        name: _called(name, function, parameters, shapes, relations)
        for name, function, parameters in named
    }


def _called(
    name: str,
    function: Callable[..., Value],
    parameter_names: Sequence[str],
    shapes: Shapes,
    relations: Relations,
) -> _Node:
    """Make the node that calls a function with its parameters aligned to the axes of its result."""
    axes = shapes.axes_of[name]
    parameters = [
        read_parameter(parameter, shapes) or Parameter(parameter, parameter)
        for parameter in parameter_names
    ]

    def compute(values: Mapping[str, Value]) -> Value:
        extra = extra_axes(parameters, axes, shapes, relations)
        given = {
            parameter.name: aligned(
                values[parameter.key], parameter, axes, extra, shapes, relations
            )
            for parameter in parameters
        }
        # A size that overflows is no size: what is not finite becomes nan.
        with np.errstate(all="ignore"):
            result = function(**given)
            result = result * np.where(np.isfinite(result), 1.0, np.nan)
        trailing = len(axes) + len(extra)
        batches = [np.shape(value)[: np.ndim(value) - trailing] for value in given.values()]
        expected = (*np.broadcast_shapes(*batches), *shapes.extents(axes))
        if not _spreads_to(np.shape(result), expected):
            raise ShapeError(name, np.shape(result), f"{expected} for {axes}")
        return result * np.ones(expected)

    return _Node(tuple(parameter.key for parameter in parameters), compute)


def _spreads_to(found: tuple[int, ...], expected: tuple[int, ...]) -> bool:
    """Whether an array of one shape can be repeated to fill the other."""
    pairs = zip(reversed(found), reversed(expected), strict=False)
    return len(found) <= len(expected) and all(size in (1, whole) for size, whole in pairs)


def _item_node(items: Sequence[str], shapes: Shapes) -> _Node:
    """Make the node that lays the verdicts of every item side by side."""

    def compute(values: Mapping[str, Value]) -> Value:
        if len(items) != len(shapes.labels_of["item"]):
            raise ShapeError("item_verdict", (len(items),), f"{shapes.extents(('item',))} items")
        return _stacked([[_flat(values[name], shapes.axes_of[name])] for name in items], np.nan)

    return _Node(tuple(items), compute)


def _stage_node(required: Mapping[str, Sequence[str]], shapes: Shapes) -> _Node:
    """Make the node that marks the blank entries of every sheet."""
    stages = shapes.labels_of["stage"]
    if set(required) != set(stages):
        raise WiringError(f"required speaks of {sorted(required)}, the shapes of {sorted(stages)}")

    def compute(values: Mapping[str, Value]) -> Value:
        return _stacked(
            [
                [_flat(np.isnan(values[key]), shapes.axes_of[key]) for key in required[stage]]
                for stage in stages
            ],
            0.0,
        )

    return _Node(tuple(key for stage in stages for key in required[stage]), compute)


def _flat(value: Value, axes: Axes) -> Value:
    """Lay all elements of a value along one axis behind the batch."""
    batch = np.shape(value)[: np.ndim(value) - len(axes)]
    return np.reshape(value, (*batch, -1))


def _stacked(rows: Sequence[Sequence[Value]], fill: float) -> Value:
    """Put rows of flat arrays under each other, filled up to the longest row."""
    batch = np.broadcast_shapes(*(np.shape(flat)[:-1] for row in rows for flat in row))
    longest = max((sum(np.shape(flat)[-1] for flat in row) for row in rows), default=0)
    stack = np.full((*batch, len(rows), longest), fill)
    for number, row in enumerate(rows):
        start = 0
        for flat in row:
            stop = start + np.shape(flat)[-1]
            stack[..., number, start:stop] = flat
            start = stop
    return stack


def _in_order(
    names: Sequence[str], nodes: Mapping[str, _Node], values: Mapping[str, Value]
) -> list[str]:
    """Sort the nodes that these names need, each after what it needs itself."""
    graph: dict[str, set[str]] = {}
    waiting = []
    for name in names:
        if name not in nodes and name not in values:
            raise MissingParameterError("the caller", name)
        waiting.append(name)
    while waiting:
        name = waiting.pop()
        if name in values or name in graph:
            continue
        graph[name] = {need for need in nodes[name].needs if need not in values}
        for need in graph[name]:
            if need not in nodes:
                raise MissingParameterError(name, need)
            waiting.append(need)
    try:
        return list(TopologicalSorter(graph).static_order())
    except CycleError as error:
        raise CircularWiringError(error.args[1][::-1]) from error
