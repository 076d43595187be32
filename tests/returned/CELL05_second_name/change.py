"""A name that holds on one sheet only hides the target there."""

from lxml import etree

from sheetgen.fill import MAIN
from tests.returned.edits import BOOK, edit_part


def change(data, _):
    return edit_part(data, BOOK, add_name)


def add_name(root):
    names = root.find(f"{{{MAIN}}}definedNames")
    sheets = [sheet.get("name") for sheet in root.iter(f"{{{MAIN}}}sheet")]
    added = etree.SubElement(
        names, f"{{{MAIN}}}definedName", name="piston_size_1",
        localSheetId=str(sheets.index("Pistons and pins")),
    )
    added.text = "'Pistons and pins'!$F$16"
