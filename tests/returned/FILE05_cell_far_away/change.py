"""One cell stands at the far corner of a sheet."""

from lxml import etree

from sheetgen.fill import MAIN
from tests.returned.edits import edit_sheet


def change(data, _):
    return edit_sheet(data, "Bores", far_away)


def far_away(root):
    lines = root.find(f"{{{MAIN}}}sheetData")
    line = etree.SubElement(lines, f"{{{MAIN}}}row", r="1048576")
    etree.SubElement(etree.SubElement(line, f"{{{MAIN}}}c", r="XFD1048576"), f"{{{MAIN}}}v").text = "1"
