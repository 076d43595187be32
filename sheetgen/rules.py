"""What an entry cell accepts, and the prompt that says so."""

from __future__ import annotations

import datetime
import textwrap
from typing import Any

from sheetgen.plan import Plan, printed_unit
from sheetgen.text_fit import text_width

LINE = 40
"""Characters in a line of a prompt: some programs wrap none, and it would hide the row beside the cell."""

LETTERS = 10
AIR = "\u00a0" * 5
"""Ends the longest line of a prompt: one program makes its box a little too narrow for it."""


def in_lines(message: str) -> str:
    r"""Return a prompt in lines that are short enough for a small box beside the cell.

    Examples
    --------
    >>> in_lines("Micrometer or caliper over the ends of the pin, from end to end.\nUnit: mm.")
    'Micrometer or caliper over the ends of\xa0\xa0\xa0\xa0\xa0\nthe pin, from end to end.\nUnit: mm.'
    """
    lines = [wrapped for line in message.split("\n")
             for wrapped in textwrap.wrap(line, LINE, break_on_hyphens=False) or [""]]
    widest = max(range(len(lines)), key=lambda at: text_width(lines[at], LETTERS))
    lines[widest] += AIR
    return "\n".join(lines)


def entry_rule(plan: Plan, key: str) -> dict[str, Any]:
    """Return the entry rule of an input, as the writer takes it."""
    entry, catalogue, family = plan.catalogue.entries[key], plan.catalogue, plan.build.family
    rule: dict[str, Any]
    form = ""
    if entry.words:
        rule = {"validate": "list", "source": list(catalogue.words[entry.words])}
        form = expected = "Choose from the list."
    elif entry.list:
        rule = {"validate": "list", "source": f"={entry.list}_all"}
        form = expected = "Choose from the list."
    elif entry.text == "date":
        rule = {"validate": "date", "criteria": ">=", "value": datetime.date(2000, 1, 1)}
        expected = "A date."
    elif entry.text:
        rule = {"validate": "length", "criteria": "<=", "value": 200}
        expected = "A text of at most 200 characters."
    else:
        measure = catalogue.measures[entry.measure]
        unit = printed_unit(measure.unit(family))
        form = f"Unit: {unit}." if unit else ""
        low, high = entry.range or (-1e6, 1e6)
        low, high = (measure.from_millimetre(x, family) for x in (low, high))
        rule = {"validate": "decimal", "criteria": "between", "minimum": low, "maximum": high}
        expected = f"A number from {low:.4g} to {high:.4g}" if entry.range else "A number"
        expected = f"{expected} {unit}".rstrip() + "."
    missing = "it was not measured" if entry.kind == "reading" else "it is not known"
    blank = "there is none" if entry.of else missing
    rule |= {
        "ignore_blank": True,
        "input_title": entry.title,
        "input_message": f"{entry.prompt}\n{form}".strip(),
        "error_title": "This cannot be right",
        "error_message": f"{entry.label}: {expected} Leave it blank if {blank}.",
        "error_type": "stop",
    }
    return rule
