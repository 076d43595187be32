"""What an entry cell accepts, and the prompt that says so."""

from __future__ import annotations

import datetime
from typing import Any

from sheetgen.plan import Plan, printed_unit


def entry_rule(plan: Plan, key: str) -> dict[str, Any]:
    """Return the entry rule of an input, as the writer takes it."""
    entry, catalogue, family = plan.catalogue.entries[key], plan.catalogue, plan.build.family
    prompt = entry.prompt
    rule: dict[str, Any]
    expected = ""
    if entry.words:
        rule = {"validate": "list", "source": list(catalogue.words[entry.words])}
        expected = "Choose from the list."
    elif entry.list:
        rule = {"validate": "list", "source": f"={entry.list}_all"}
        expected = "Choose from the list."
    elif entry.text == "date":
        rule = {"validate": "date", "criteria": ">=", "value": datetime.date(2000, 1, 1)}
        expected = "A date."
    elif entry.text:
        rule = {"validate": "length", "criteria": "<=", "value": 200}
        expected = "A text of at most 200 characters."
    else:
        measure = catalogue.measures[entry.measure]
        unit = printed_unit(measure.unit(family))
        low, high = entry.range or (-1e6, 1e6)
        low, high = (measure.from_millimetre(x, family) for x in (low, high))
        rule = {"validate": "decimal", "criteria": "between", "minimum": low, "maximum": high}
        expected = f"A number, in {unit}" if unit else "A number"
        expected += f", from {low:.6g} to {high:.6g}." if entry.range else "."
    rule |= {
        "ignore_blank": True,
        "input_title": entry.label[:32],
        "input_message": f"{prompt} {expected}".strip()[:255],
        "error_title": "This cannot be right"[:32],
        "error_message": f"{entry.label}: {expected} Leave it blank if it was not measured."[:255],
        "error_type": "stop",
    }
    return rule
