"""The look of a workbook: cell formats by role, from `templates_src/look.toml`."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

from sheetgen.catalogue import FAMILIES, Catalogue, Entry
from sheetgen.sources import TEMPLATES, read_toml

DATE_FORMAT = "yyyy-mm-dd"
AIR = "_-"
"""Ends a number format: a little room between the number and the frame of its cell."""
NO_LIMIT_FORMAT = f'"none"{AIR};"none"{AIR}'
"""Shown instead of the figure that stands in for a limit that is not set."""
MOST_DECIMALS, FINE_DECIMALS = 12, 3
VERDICTS = ("verdict", "verdict_echo", "sample_verdict")
NUMBERS = ("input", "result", "working", "echo", "constant")


@cache
def look() -> Mapping[str, Any]:
    """Return the look as written in `look.toml`."""
    return read_toml(TEMPLATES / "look.toml")


def number_format(entry: Entry, catalogue: Catalogue, family: str) -> str:
    """Return the number format of a quantity: digits to the gauge's resolution, or text, or a date."""
    special = look()["numbers"]["formats"].get(entry.key)
    if special:
        return str(special)
    if entry.text == "date":
        return DATE_FORMAT
    if entry.text:
        return "@"
    if not entry.measure or entry.kind == "constant":
        return "General"
    decimals = catalogue.measures[entry.measure].decimals[FAMILIES.index(family)]
    digits = "0" if decimals == 0 else "0." + "0" * decimals
    limit = entry.of and not entry.key.endswith("_guard_used")
    if limit or entry.key in look()["numbers"]["typed_whole"]:
        # What is held against a figure shows every digit that was typed.
        if decimals == 0:
            return "General"
        digits += "#" * (MOST_DECIMALS - decimals)
    elif entry.is_input and decimals >= FINE_DECIMALS:
        # Half a step of the gauge is shown where it was typed; its place is kept where it was not.
        digits += "?"
    digits += AIR
    return f"+{digits};-{digits};{digits}" if entry.key in look()["numbers"]["signed"] else digits


def alignment(entry: Entry | None) -> dict[str, Any]:
    """Return how a quantity stands in its cell: numbers right, words and marks centred, notes left."""
    if entry is None:
        return {}
    if entry.key in look()["numbers"]["formats"]:
        return {"align": "center"}
    if entry.measure:
        return {"align": "right", "shrink": True}
    if entry.key.endswith("_origin") and entry.of:
        return {"align": "center", "shrink": True, "font_size": look()["sizes"]["small"]}
    if entry.key.endswith("_note"):
        return {"align": "left", "indent": 1, "text_wrap": True}
    if entry.list == "material_name":
        return {"align": "center", "text_wrap": True}
    if entry.text == "note":
        return {"align": "left", "indent": 1, "shrink": True}
    if entry.text == "mark" and not entry.over and not entry.list:
        return {"align": "left", "indent": 1}
    if entry.kind == "constant":
        return {"align": "left", "indent": 1}
    return {"align": "center", "shrink": True}


@cache
def properties(role: str) -> Mapping[str, Any]:
    """Return the format properties of one role."""
    data = look()
    c, sizes = data["colours"], data["sizes"]
    base = {
        "font_name": data["font"], "font_size": sizes["body"], "font_color": c["ink"], "valign": "vcenter",
    }
    faint = {"font_color": c["faint"]}
    small = {"font_size": sizes["small"]}
    boxed = {"border": 1, "border_color": c["hair"]}
    head = {"bg_color": c["head"], "align": "center", **boxed, "left_color": c["line"],
            "right_color": c["line"], **small}
    rule = {"font_size": sizes["block"], "top": 2, "top_color": c["ink"], "valign": "vcenter"}
    entry = {"bg_color": c["entry"], "border": 1, "border_color": c["entry_line"]}
    optional = {"border": 3, "border_color": c["entry_line"]}
    result = {"bold": True, **boxed}
    working = {**faint, **small, **boxed}
    verdict = {"align": "center", **boxed}
    centred = {"align": "center"}
    roles: dict[str, dict[str, Any]] = {
        "title": {"bold": True, "font_size": sizes["title"]},
        "job_label": {"align": "right", **faint},
        "job": {"bold": True, "indent": 1, "align": "left", "bottom": 1, "bottom_color": c["line"]},
        "purpose": {**faint},
        "missing_label": {"bold": True},
        "missing": {"bold": True, "font_size": sizes["block"], "align": "center", "border": 2,
                    "border_color": c["ink"]},
        "gap_label": {"align": "right", "indent": 1, "text_wrap": True, **small},
        "gap": {"bold": True, "align": "center", "border": 1, "border_color": c["line"]},
        "first_gap_label": {**faint, **small, "valign": "top"},
        "first_gap": {**small, "align": "right", "valign": "top", "shrink": True, "underline": 1},
        "gap_head": {"font_color": c["faint"], **small},
        "gap_place": {**working, "shrink": True},
        "gap_mark": {**working, "align": "center"},
        "gap_goal": {**working, "shrink": True},
        "gap_now": {**working, "shrink": True},
        "filled_by": {**faint},
        "signature": {"valign": "bottom"},
        "block_title": {"bold": True, **rule},
        "working_title": {**faint, **rule, "top": 1, "top_color": c["line"]},
        "help": {**faint, **small, "text_wrap": True, "valign": "top"},
        "text": {"text_wrap": True, "valign": "top"},
        "table_text": {"text_wrap": True, "indent": 1, **boxed},
        "caution": {"text_wrap": True, "bold": True, "left": 5, "left_color": c["ink"], "indent": 1},
        "column_header": {"bold": True, "text_wrap": True, **head},
        "element_header": {"text_wrap": True, **head},
        "unit_header": {**head, **faint},
        "row_label": {"text_wrap": True, "indent": 1, **boxed},
        "pane_label": {"text_wrap": True, "indent": 1, **small, **boxed},
        "working_label": {"text_wrap": True, "indent": 1, **faint, **small, **boxed},
        "unit": {**faint, "indent": 1},
        "note": {**faint, **small, "text_wrap": True},
        "none": {**faint, **centred, **boxed},
        "input": {"locked": False, **entry},
        "optional_input": {"locked": False, **optional},
        "constant": {**faint, **small, **boxed},
        "result": result,
        "working": working,
        "echo": boxed,
        "verdict": verdict,
        "verdict_echo": verdict,
        "drawing": {},
        "chart": {"align": "left"},
        "picture": {},
        "guide_label": {"bold": True, "align": "right", "indent": 1},
        "guide_text": {"text_wrap": True, "bottom": 1, "bottom_color": c["hair"]},
        "key_text": {"indent": 1, "text_wrap": True},
        "sample_entry": {**entry, **centred},
        "sample_optional": {**optional, **centred},
        "sample_filled": {**entry, **filled_format(), **centred},
        "sample_result": {**result, **centred},
        "sample_working": {**working, **centred},
        "sample_echo": {**boxed, **centred},
        "sample_verdict": verdict,
    }
    return {**base, **roles[role]}


def filled_format() -> dict[str, Any]:
    """Return how a required entry is shown once it is filled in: its ground is gone, its frame stays."""
    return {"bg_color": look()["colours"]["paper"]}


def tone_format(tone: str) -> dict[str, Any]:
    """Return how a word of one tone is shown: ground, and a second sign that needs no colour."""
    c = look()["colours"]
    second: dict[str, dict[str, Any]] = {
        "good": {},
        "bad": {"bold": True, "underline": 1},
        "care": {"italic": True},
        "open": {"font_color": c["faint"]},
    }
    ground = {} if c[tone] == "#FFFFFF" else {"bg_color": c[tone]}
    return {**ground, **second[tone]}
