"""The invented engines whose filled, faultless workbooks the cases start from."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

from sheetgen.build import read_build
from sheetgen.fill import fill_workbook
from sheetgen.naming import element_name
from sheetgen.plan import Plan, plan_workbook
from sheetgen.workbook import workbook_bytes

ENGINES = Path(__file__).parent / "engines"


@dataclass(frozen=True)
class Engine:
    """One invented engine: its plan, its workbook as it goes out, and as it comes back without a fault."""

    plan: Plan
    issued: bytes
    filled: bytes


@cache
def engine(name: str, without: tuple[str, ...] = ()) -> Engine:
    """Return an invented engine: "three" in millimetres, "twin" in inches; some of what is given left out.

    `without` names quantities whose limits, and cells whose values, are not given.
    """
    build = read_build(ENGINES / f"{name}.toml")
    entries = {
        (key, index): value
        for (key, index), value in build.entries.items()
        if key not in {f"{limited}_{side}" for limited in without for side in ("lower", "upper")}
        and element_name(key, index) not in without
    }
    plan = plan_workbook(replace(build, entries=entries))
    issued = workbook_bytes(plan)
    return Engine(plan, issued, fill_workbook(issued, plan, readings(plan, name)))


def readings(plan: Plan, name: str) -> Mapping[str, Any]:
    """Return what is typed into the workbook of an engine: cell name to value."""
    entries: dict[str, Any] = {}
    for key, told in tomllib.loads((ENGINES / f"{name}_readings.toml").read_text("utf-8")).items():
        cells = plan.by_key[key]
        values = told if isinstance(told, list) else [told] * len(cells)
        entries.update(zip((cell.name for cell in cells), values, strict=True))
    return entries


def fill_three(data: bytes, plan: Plan) -> bytes:
    """Return a workbook of the engine "three", or of one like it, as it comes back without a fault."""
    return fill_workbook(data, plan, readings(plan, "three"))


def with_wider_limit(plan: Plan) -> Plan:
    """Return the same plan with another upper limit of the piston clearance."""
    entries = {**plan.build.entries, ("piston_clearance_upper", ()): 0.095}
    return plan_workbook(replace(plan.build, entries=entries))
