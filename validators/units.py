"""Shown units and SI: the one place where pint speaks."""

from __future__ import annotations

from functools import cache
from typing import Any

from sheetgen.catalogue import Measure

ZERO_CELSIUS = 273.15
PLAIN = {
    ("mm", "m"): 0.001, ("in", "m"): 0.0254, ("mm^2", "m^2"): 1e-06, ("in^2", "m^2"): 0.00064516,
    ("cm^3", "m^3"): 1.0000000000000002e-06, ("in^3", "m^3"): 1.6387063999999996e-05, ("um", "m"): 1e-06,
    ("uin", "m"): 2.5399999999999996e-08, ("m/s", "m/s"): 1.0, ("ft/min", "m/s"): 0.0050799999999999994,
    ("m/s^2", "m/s^2"): 1.0, ("rpm", "rad/s"): 0.10471975511965977, ("rad/s", "rad/s"): 1.0,
    ("1/min", "1/s"): 0.016666666666666666, ("deg", "rad"): 0.017453292519943295,
    ("delta_degC", "K"): 1.0, ("1e-6/K", "1/K"): 1e-06, ("mm/K", "m/K"): 0.001, ("in/K", "m/K"): 0.0254,
    ("GPa", "Pa"): 1e9, ("MPa", "Pa"): 1e6, ("bar", "Pa"): 1e5, ("N", "N"): 1.0, ("g", "kg"): 0.001,
    ("1", "1"): 1.0, ("percent", "1"): 0.01, ("um/kN", "m/N"): 1e-09,
    ("uin/N", "m/N"): 2.5399999999999996e-08, ("N*m", "N*m"): 1.0, ("ft*lbf", "N*m"): 1.3558179483314001,
    ("N/mm", "N/m"): 1000.0, ("N/in", "N/m"): 39.37007874015748, ("g*mm", "kg*m"): 1e-06,
    ("g*in", "kg*m"): 2.54e-05, ("1/cm^3", "1/m^3"): 999999.9999999999, ("1/mm", "1/m"): 1000.0,
    ("1/in", "1/m"): 39.37007874015748, ("mm^2/s", "m^2/s"): 1e-06, ("mPa*s", "Pa*s"): 0.001,
    ("kg/m^3", "kg/m^3"): 1.0, ("kg/m^3/K", "kg/m^3/K"): 1.0,
}
"""What pint says of the units that the sheets show, so that a quarter of a second is not spent on asking it
at every start. A test asks it of every line, and of every unit in the catalogue."""


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
    if (unit, si) in PLAIN:
        return PLAIN[unit, si], 0.0
    if (unit, si) == ("degC", "K"):
        return 1.0, ZERO_CELSIUS
    return by_pint(unit, si)


def by_pint(unit: str, si: str) -> tuple[float, float]:
    """Return the same by asking pint, whatever the unit."""
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
