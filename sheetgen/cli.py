"""The commands that write."""

from __future__ import annotations

from pathlib import Path

from sheetgen.build import new_build, presets, read_build
from sheetgen.catalogue import FAMILIES
from sheetgen.errors import DefinitionError, nearest
from sheetgen.plan import Plan, plan_workbook
from sheetgen.seal import read_key


def new(
    out: Path, *, layout: str = "", units: str = "", build: Path | None = None, top_end: bool = False,
    key: Path | None = None,
) -> Plan:
    """Write a workbook and return its plan.

    Raises
    ------
    DefinitionError
        The call or the build file cannot be used, or the file exists.
    """
    from sheetgen.workbook import write_workbook

    layout = layout.lower()
    if out.suffix.lower() != ".xlsx":
        raise DefinitionError(str(out), "the workbook's name ends in .xlsx")
    if units and units not in FAMILIES:
        raise DefinitionError("--units", f"units are one of {', '.join(FAMILIES)}{nearest(units, FAMILIES)}")
    if layout and layout not in presets():
        raise DefinitionError(
            "--layout",
            f"'{layout}' is no known layout, and other engines go into a build file"
            f"{nearest(layout, presets())}",
        )
    if build is not None:
        definition = read_build(build, layout, units, ("top_end",) if top_end else ())
        if top_end and "top_end" in definition.left_out:
            raise DefinitionError("--top-end", f"{build.name} says top_end = false")
        if units and definition.family != units:
            raise DefinitionError("--units", f"{build.name} says {definition.family}, the call says {units}")
    elif layout:
        definition = new_build(layout, units or "millimetre", optional=top_end)
    else:
        raise DefinitionError("new", f"say --layout ({', '.join(presets())}) or --build FILE.toml")
    if out.exists():
        raise DefinitionError(str(out), "there is a file of this name; it is not overwritten")
    shop_key = None if key is None else read_key(key)
    plan = plan_workbook(definition)
    write_workbook(plan, out, shop_key, known=build is None)
    return plan
