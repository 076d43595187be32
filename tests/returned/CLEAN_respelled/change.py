"""A program spelt every formula its own way."""

from sheetgen.fill import MAIN
from tests.returned.edits import edit_sheet


def change(data, plan):
    for sheet in plan.sheets:
        data = edit_sheet(data, sheet.template.title, respell)
    return data


def respell(root):
    for formula in root.iter(f"{{{MAIN}}}f"):
        parts = formula.text.split('"')  # every other one is a text, which stays as it is
        parts[::2] = [
            part.replace("IF(", "if( ").replace(",", " , ").replace("COUNT(", "Count(") for part in parts[::2]
        ]
        text = '"'.join(parts)
        formula.text = text.replace("1.5", "1.50").upper() if '"' not in text else text
