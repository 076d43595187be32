"""Somebody added a word to the list of one entry, and the rule of another only warns."""

from sheetgen.fill import MAIN
from tests.returned.edits import edit_rule


def add(rule):
    words = rule.find(f"{{{MAIN}}}formula1")
    words.text = words.text.removesuffix('"') + ',somewhere"'


def warn(rule):
    rule.set("errorStyle", "warning")


def change(data, plan):
    data = edit_rule(data, plan, "torque_plate_1", add)
    return edit_rule(data, plan, "job_number", warn)
