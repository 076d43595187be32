"""The look of a workbook: cell formats by role, from `templates_src/look.toml`."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

from sheetgen.catalogue import FAMILIES, TEMPLATES, Catalogue, Entry, read_toml

DATE_FORMAT = "yyyy-mm-dd"


@cache
def look() -> Mapping[str, Any]:
    """Return the look as written in `look.toml`."""
    return read_toml(TEMPLATES / "look.toml")


def number_format(entry: Entry, catalogue: Catalogue, family: str) -> str:
    """Return the number format of a quantity: digits to the gauge's resolution, or text, or a date."""
    if entry.text == "date":
        return DATE_FORMAT
    if entry.text:
        return "@"
    if not entry.measure:
        return "General"
    decimals = catalogue.measures[entry.measure].decimals[FAMILIES.index(family)]
    return "0" if decimals == 0 else "0." + "0" * decimals


def properties(role: str) -> dict[str, Any]:
    """Return the format properties of one role."""
    data = look()
    c = data["colours"]
    base = {"font_name": data["font"], "font_size": data["size"], "font_color": c["ink"], "valign": "vcenter"}
    boxed = {"border": 1, "border_color": c["hair"]}
    roles: dict[str, dict[str, Any]] = {
        "title": {"bold": True, "font_size": 18},
        "purpose": {"font_color": c["faint"]},
        "missing_label": {"align": "right", "font_color": c["faint"]},
        "missing": {"bold": True, "align": "center", "border": 1, "border_color": c["line"]},
        "block_title": {"bold": True, "font_size": 12, "bottom": 2, "bottom_color": c["ink"]},
        "help": {"italic": True, "font_color": c["faint"], "text_wrap": True, "valign": "top"},
        "text": {"text_wrap": True, "valign": "top"},
        "caution": {"text_wrap": True, "valign": "top", "bold": True, "left": 5, "left_color": c["ink"],
                    "indent": 1},
        "column_header": {"bold": True, "text_wrap": True, "align": "center", "bg_color": c["head"],
                          **boxed, "valign": "top"},
        "element_header": {"text_wrap": True, "align": "center", "bg_color": c["head"], **boxed},
        "unit_header": {"align": "center", "font_color": c["faint"], "bg_color": c["head"], **boxed},
        "row_label": {"text_wrap": True, **boxed},
        "unit": {"font_color": c["faint"]},
        "note": {"font_color": c["faint"], "font_size": 9, "text_wrap": True},
        "none": {"font_color": c["faint"], "align": "center", **boxed},
        "input": {"locked": False, "bg_color": c["entry"], "border": 1, "border_color": c["entry_line"],
                  "align": "right"},
        "constant": {"font_color": c["faint"], "align": "right", **boxed},
        "result": {"bold": True, "align": "right", **boxed},
        "working": {"font_color": c["faint"], "align": "right", **boxed},
        "echo": {"align": "right", **boxed},
        "verdict": {"bold": True, "align": "center", "text_wrap": True, **boxed},
        "verdict_echo": {"align": "center", "text_wrap": True, **boxed},
    }
    return {**base, **roles[role]}


def tone_format(tone: str) -> dict[str, Any]:
    """Return how a word of one tone is shown: ground, and a second sign that needs no colour."""
    c = look()["colours"]
    second: dict[str, dict[str, Any]] = {
        "good": {},
        "bad": {"bold": True, "underline": 1},
        "care": {"italic": True},
        "open": {"font_color": c["faint"]},
    }
    return {"bg_color": c[tone], **second[tone]}
