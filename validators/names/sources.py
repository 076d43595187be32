"""What the reference core says of a result: its equation and its source; and the sources of constants."""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable, Mapping
from functools import cache
from typing import Any

from sheetgen.catalogue import Entry
from sheetgen.sources import TEMPLATES, read_toml
from validators.reference import verdict
from validators.reference.wiring import find_functions

SECTION = re.compile(r"\n([A-Z][a-z]+)\n-+\n")
MATH = re.compile(r"\.\. math::[ ]*(.*?)(?=\n\S|\Z)", re.DOTALL)
MATERIALS = "table of materials, from memory"
LAYOUT = "follows from the layout"
STAND_IN = "the limit, or a figure beyond every value where none is set"


@cache
def functions() -> Mapping[str, Callable[..., Any]]:
    """Return the functions of the reference core, by the quantity they compute."""
    return {function.__name__: function for function in find_functions()}


@cache
def told_of(key: str, of: str) -> tuple[str, str]:
    """Return equation and source of a result; `of` is the judged quantity that it belongs to, or ""."""
    function: Callable[..., Any] | None = functions().get(key)
    if function is None and of:
        made: dict[str, Callable[..., Any]] = {
            "verdict": verdict.verdict, "limit_state": verdict.limit_state
        }
        function = made.get(key.removeprefix(f"{of}_"))
    if function is None:
        return "", STAND_IN if of else ""
    text = inspect.getdoc(function) or ""
    math = MATH.search(text)
    parts = SECTION.split(text)
    sections = dict(zip(parts[1::2], parts[2::2], strict=True))
    return " ".join(math[1].split()) if math else "", " ".join(sections.get("Source", "").split())


@cache
def constants() -> Mapping[str, str]:
    """Return the source of every constant, by key."""
    blocks = read_toml(TEMPLATES / "constants.toml")["block"]
    return {line["key"]: line["source"] for block in blocks for line in block["constants"]}


def source_of_entry(entry: Entry) -> str:
    """Return where a value that no formula gives comes from."""
    if entry.kind == "constant":
        return constants().get(entry.key, MATERIALS)
    if entry.kind == "fixed":
        return LAYOUT
    who = "entered by the builder" if entry.kind == "given" else "entered by whoever measures"
    return f"{who}; the word is from {entry.term}" if entry.term else who
