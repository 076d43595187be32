"""Somebody widened what the bore readings accept, so that a slip is not stopped."""

from sheetgen.fill import MAIN
from tests.returned.edits import edit_rule


def widen(rule):
    rule.find(f"{{{MAIN}}}formula2").text = "99999"


def change(data, plan):
    return edit_rule(data, plan, "bore_reading_1_top_thrust", widen)
