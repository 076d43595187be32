"""Shown units and SI: the one place where pint speaks."""

from __future__ import annotations

from functools import cache
from typing import Any

from sheetgen.catalogue import Measure


@cache
def registry() -> Any:
    """Return the project's only unit registry."""
    import pint

    return pint.UnitRegistry()


@cache
def scale(unit: str, si: str) -> tuple[float, float]:
    """Return factor and offset that turn a number in `unit` into SI: ``si = shown * factor + offset``.

    Examples
    --------
    >>> scale("in", "m")
    (0.0254, 0.0)
    >>> scale("degC", "K")
    (1.0, 273.15)
    """
    ureg = registry()
    if unit == "degC":
        offset = ureg.Quantity(0.0, "degC").to("K").magnitude
        return 1.0, float(offset)
    if unit == "1":
        return 1.0, 0.0
    return float(ureg.Quantity(1.0, ureg.parse_expression(unit).units).to(si).magnitude) * _number(unit), 0.0


def _number(unit: str) -> float:
    """Return the plain factor in front of a unit such as 1e-6/K."""
    parsed = registry().parse_expression(unit)
    return float(getattr(parsed, "magnitude", parsed))


def to_si(measure: Measure, family: str) -> tuple[float, float]:
    """Return factor and offset from the unit a family shows to what the reference core speaks."""
    return scale(measure.unit(family), measure.si)
