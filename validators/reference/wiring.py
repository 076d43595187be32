"""How the functions of the reference find their parameters, and in which axes they get them.

A parameter is named after a catalogue quantity, after an *element* of one (`part_factor_bore`,
`bore_size_top_thrust`: key and labels, which fix those axes), or after a member of a fit
(`calibration_uncertainty_of_hole`).
"""

import importlib
import inspect
import pkgutil
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from validators import reference
from validators.reference.value import Value

__not_quantities__ = (
    "aligned",
    "axes_met",
    "extra_axes",
    "find_functions",
    "read_parameter",
)

Axes = tuple[str, ...]
Relations = Mapping[tuple[str, ...], Sequence[int]]

# Which axes are looked up through a relation when the result has the axis on the left.
_GATHERED = {
    "cylinder": ("crankpin", "bank"),
    "sized": ("feature", "body"),
    "rodbolt": ("cylinder",),
}
_MEMBERS = ("hole", "shaft")


class WiringError(Exception):
    """Functions, shapes and inputs do not fit together: ours to mend, not a fault of a sheet."""


class MissingParameterError(WiringError):
    """A function asks for something that is neither an input nor a result."""

    def __init__(self, function: str, parameter: str) -> None:
        self.function = function
        self.parameter = parameter
        super().__init__(f"{function} needs {parameter}, which is neither an input nor a result")


class CircularWiringError(WiringError):
    """Results need each other in a circle."""

    def __init__(self, names: Sequence[str]) -> None:
        self.names = tuple(names)
        super().__init__(f"these results need each other: {' -> '.join(names)}")


class ShapeError(WiringError):
    """An array does not have the axes that its name stands for."""

    def __init__(self, name: str, found: tuple[int, ...], expected: str) -> None:
        self.name = name
        self.found = found
        self.expected = expected
        super().__init__(f"{name} has shape {found}, expected {expected}")


@dataclass(frozen=True, slots=True)
class Shapes:
    """The axes of every key, in catalogue order, and the labels of every axis."""

    axes_of: Mapping[str, Axes]
    labels_of: Mapping[str, tuple[str, ...]]

    def extents(self, axes: Axes) -> tuple[int, ...]:
        """How many elements each of these axes has."""
        return tuple(len(self.labels_of[axis]) for axis in axes)


@dataclass(frozen=True, slots=True)
class Parameter:
    """Where a parameter takes its value from."""

    name: str
    key: str
    elements: tuple[tuple[str, int], ...] = ()
    member: str = ""


def find_functions() -> tuple[Callable[..., Value], ...]:
    """Find every public function of the package that can be a quantity.

    Functions that a module lists in `__not_quantities__` are building blocks.
    """
    return _functions_of(reference.__name__, tuple(reference.__path__))


@cache
def _functions_of(package: str, path: tuple[str, ...]) -> tuple[Callable[..., Value], ...]:
    modules = [
        importlib.import_module(f"{package}.{found.name}") for found in pkgutil.iter_modules(path)
    ]
    return tuple(
        function
        for module in modules
        for name, function in inspect.getmembers(module, inspect.isfunction)
        if function.__module__ == module.__name__
        and not name.startswith("_")
        and name not in getattr(module, "__not_quantities__", ())
    )


def read_parameter(name: str, shapes: Shapes) -> Parameter | None:
    """Say what a parameter name stands for; None if it stands for nothing known.

    A key comes before an element name. Two readings of one name are an error.
    """
    if name in shapes.axes_of:
        return Parameter(name, name)
    readings = [
        Parameter(name, key, member=member)
        for member in _MEMBERS
        if (key := name.removesuffix(f"_of_{member}")) != name and key in shapes.axes_of
    ]
    words = name.split("_")
    for length in range(1, len(words)):
        key, rest = "_".join(words[:length]), "_".join(words[length:])
        readings += [
            Parameter(name, key, elements)
            for elements in _read_labels(rest, shapes.axes_of.get(key, ()), shapes)
        ]
    if len(readings) > 1:
        keys = " or ".join(reading.key for reading in readings)
        raise WiringError(f"the name {name} can be read in {len(readings)} ways, of {keys}")
    return readings[0] if readings else None


def _read_labels(rest: str, axes: Axes, shapes: Shapes) -> Iterator[tuple[tuple[str, int], ...]]:
    """Read text as labels of some of these axes, in their order."""
    for place, axis in enumerate(axes):
        for index, label in enumerate(shapes.labels_of.get(axis, ())):
            if rest == label:
                yield ((axis, index),)
            elif rest.startswith(f"{label}_"):
                tail = rest.removeprefix(f"{label}_")
                for more in _read_labels(tail, axes[place + 1 :], shapes):
                    yield ((axis, index), *more)


def _steps(
    parameter: Parameter, result_axes: Axes, shapes: Shapes, relations: Relations
) -> Iterator[tuple[str, str, int | np.ndarray]]:
    """Per axis of the parameter that does not stay: axis, what takes its place, which elements."""
    fixed = dict(parameter.elements)
    for axis in shapes.axes_of[parameter.key]:
        if axis in fixed:
            yield axis, "", fixed[axis]
        elif parameter.member and axis in _GATHERED["sized"] + ("sized",):
            yield axis, "fit", _related(relations, ("fit", axis, parameter.member), parameter)
        elif axis not in result_axes:
            for towards, gathered in _GATHERED.items():
                if axis in gathered and towards in result_axes:
                    yield axis, towards, _related(relations, (towards, axis), parameter)


def _related(relations: Relations, name: tuple[str, ...], parameter: Parameter) -> np.ndarray:
    if name not in relations:
        raise WiringError(f"{parameter.name} needs the relation {name}, which is not given")
    return np.asarray(relations[name], dtype=int)


def axes_met(parameter: Parameter, result_axes: Axes, shapes: Shapes, relations: Relations) -> Axes:
    """Axes of a parameter once elements are fixed and related axes are gathered."""
    axes = list(shapes.axes_of[parameter.key])
    for axis, replacement, _ in _steps(parameter, result_axes, shapes, relations):
        axes[axes.index(axis)] = replacement
    return tuple(axis for axis in axes if axis)


def extra_axes(
    parameters: Sequence[Parameter], result_axes: Axes, shapes: Shapes, relations: Relations
) -> Axes:
    """Axes that any parameter has and the result has not, in the order first met."""
    met = [
        axis
        for parameter in parameters
        for axis in axes_met(parameter, result_axes, shapes, relations)
        if axis not in result_axes
    ]
    return tuple(dict.fromkeys(met))


def aligned(
    value: Value,
    parameter: Parameter,
    result_axes: Axes,
    extra: Axes,
    shapes: Shapes,
    relations: Relations,
) -> Value:
    """Bring a value to the axes: batch, those of the result, the extra ones.

    Axes that the parameter lacks have size 1.
    """
    axes = list(shapes.axes_of[parameter.key])
    for axis, replacement, index in _steps(parameter, result_axes, shapes, relations):
        place = axes.index(axis)
        value = value[(..., index, *[slice(None)] * (len(axes) - place - 1))]
        axes[place : place + 1] = [replacement] if replacement else []
    batch = np.ndim(value) - len(axes)
    wanted = (*result_axes, *extra)
    order = [batch + axes.index(axis) for axis in wanted if axis in axes]
    value = np.transpose(value, (*range(batch), *order))
    return value[(..., *[slice(None) if axis in axes else np.newaxis for axis in wanted])]
