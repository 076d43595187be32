"""The engine table of a build file, read strictly into a layout."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from sheetgen.errors import DefinitionError
from sheetgen.layout import LAYOUTS, MOST_CYLINDERS, MOST_GROUPS, Layout, check_layout

NUMBERINGS = ("alternate", "bank by bank")


def line_of(where: str, text: str | None, key: str) -> str:
    """Return file and line of a key, as far as it can be found."""
    if text:
        for number, line in enumerate(text.splitlines(), 1):
            if re.match(rf'\s*(\[[^\]]*\b)?"?{re.escape(key)}"?\s*(=|\.|\])', line):
                return f"{where}, line {number}"
    return where


def read_layout(engine: Mapping[str, Any], where: str, text: str | None) -> Layout:
    """Return the layout that a build file asks for.

    Raises
    ------
    DefinitionError
        A number, list or word that cannot be.
    """

    def whole(key: str, default: int, low: int, high: int) -> int:
        value = engine.get(key, default)
        if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
            raise DefinitionError(
                line_of(where, text, key), f"{key} is a whole number from {low} to {high}, not {value!r}"
            )
        return value

    kind = engine.get("layout")
    if kind not in LAYOUTS:
        raise DefinitionError(
            line_of(where, text, "layout"), f"layout is one of {', '.join(LAYOUTS)}, not {kind!r}"
        )
    if "cylinders" not in engine:
        raise DefinitionError(where, "the number of cylinders is missing: [engine] cylinders = ...")
    cylinders = whole("cylinders", 1, 1, MOST_CYLINDERS)
    rods = whole("rods_per_crankpin", 1, 1, 2)
    numbering = engine.get("numbering", "alternate")
    if numbering not in NUMBERINGS:
        raise DefinitionError(
            line_of(where, text, "numbering"), f"numbering is one of {', '.join(NUMBERINGS)}"
        )
    if kind == "inline" and rods == 2:
        raise DefinitionError(
            line_of(where, text, "rods_per_crankpin"), "an inline engine has one rod on each crankpin"
        )
    order = list(range(cylinders))
    two_banks = kind != "inline" and cylinders > 1
    half = (cylinders + 1) // 2
    if not two_banks:
        banks, along = [1] * cylinders, order
    elif numbering == "alternate":
        banks, along = [1 + i % 2 for i in order], order
    else:
        banks = [1 if i < half else 2 for i in order]
        along = [2 * i if i < half else 2 * (i - half) + 1 for i in order]
    pins = [1 + place // rods for place in along]
    banks = list(_whole_list(engine, "banks", banks, cylinders, where, text))
    pins = list(_whole_list(engine, "crankpins", pins, cylinders, where, text))
    throws = engine.get("throws", [])
    if not isinstance(throws, list) or not all(
        isinstance(x, int | float) and not isinstance(x, bool) for x in throws
    ):
        raise DefinitionError(line_of(where, text, "throws"), "throws is a list of angles in degrees")
    angle = engine.get("bank_angle", {"inline": 0, "v": 90, "flat": 180}[kind])
    if isinstance(angle, bool) or not isinstance(angle, int | float) or not 0 <= angle <= 180:
        raise DefinitionError(
            line_of(where, text, "bank_angle"), "bank_angle is a number of degrees from 0 to 180"
        )
    layout = Layout(
        kind,
        tuple(banks),
        tuple(pins),
        whole("main_bearings", max(pins) + 1, 1, 25),
        float(angle),
        tuple(float(x) for x in throws),
        whole("shell_grades", 3, 1, 5),
        whole("fastener_groups", 4, 1, MOST_GROUPS),
    )
    check_layout(where, layout)
    return layout


def _whole_list(
    engine: Mapping[str, Any], key: str, default: Sequence[int], count: int, where: str, text: str | None
) -> Sequence[int]:
    value = engine.get(key, default)
    if (
        not isinstance(value, list)
        or len(value) != count
        or not all(isinstance(x, int) and not isinstance(x, bool) for x in value)
    ):
        raise DefinitionError(
            line_of(where, text, key), f"{key} is a list of {count} whole numbers, one per cylinder"
        )
    return value
