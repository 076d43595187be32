"""The steps of the assembly for a layout, read strictly from `templates_src/assembly.toml`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from sheetgen.catalogue import load_catalogue
from sheetgen.errors import DefinitionError, nearest
from sheetgen.sources import TEMPLATES, read_toml

KINDS = ("inline", "v", "flat")


@dataclass(frozen=True, slots=True)
class Step:
    """One step.

    Parameters
    ----------
    key, title, text : str
        Its label in names, its name and what is to be done; numbers of the layout stand in braces.
    layouts : tuple of str
        The kinds of layout that have it.
    rests_on : tuple of str
        Checked items that must be released first, without ``_verdict``.
    marks : int
        1 where no mark may be missing, twice or on another part; else 0.
    points : int
        1 where rings, pins and retainers of every cylinder must be passed; else 0.
    """

    key: str
    title: str
    text: str
    layouts: tuple[str, ...] = KINDS
    rests_on: tuple[str, ...] = ()
    marks: int = 0
    points: int = 0


@cache
def all_steps() -> tuple[Step, ...]:
    """Return every step, in order.

    Raises
    ------
    DefinitionError
        A key, a kind of layout or a checked item that does not exist, or a label that stands twice.
    """
    found: dict[str, Step] = {}
    for number, fields in enumerate(read_toml(TEMPLATES / "assembly.toml")["step"], 1):
        step = _step(f"assembly.toml, step {number}", fields)
        if step.key in found:
            raise DefinitionError(f"assembly.toml, step {number}", f"'{step.key}' stands twice")
        found[step.key] = step
    return tuple(found.values())


def _step(where: str, fields: Mapping[str, Any]) -> Step:
    known = Step.__dataclass_fields__
    for key in fields:
        if key not in known:
            raise DefinitionError(where, f"unknown key '{key}'{nearest(key, known)}")
    lists = {key: tuple(fields[key]) for key in ("layouts", "rests_on") if key in fields}
    for kind in lists.get("layouts", ()):
        if kind not in KINDS:
            raise DefinitionError(where, f"unknown kind of layout '{kind}'{nearest(kind, KINDS)}")
    items = [key.removesuffix("_verdict") for key in load_catalogue().items]
    for item in lists.get("rests_on", ()):
        if item not in items:
            raise DefinitionError(where, f"'{item}' is no checked item{nearest(item, items)}")
    return Step(**{**fields, **lists})


def steps_for(kind: str) -> tuple[Step, ...]:
    """Return the steps that one kind of layout has, in order.

    Examples
    --------
    >>> [step.key for step in steps_for("flat") if step not in steps_for("v")]
    ['rods_on_crank', 'close_case']
    """
    return tuple(step for step in all_steps() if kind in step.layouts)
