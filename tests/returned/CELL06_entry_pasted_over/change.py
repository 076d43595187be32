"""A formula cell was copied over an entry cell: its lock and its entry rule went."""

from sheetgen.fill import MAIN
from tests.returned.edits import edit_sheet, wear_style_of

def change(data, plan):
    data = wear_style_of(data, plan, "bore_reading_1_top_thrust", "bore_mean_1")
    place = plan.by_name["bore_reading_1_top_thrust"].address
    return edit_sheet(data, "Bores", lambda root: uncover(root, place))


def uncover(root, place):
    for rule in root.iter(f"{{{MAIN}}}dataValidation"):
        areas = rule.get("sqref").split()
        rule.set("sqref", " ".join(area for area in areas if area != place))
