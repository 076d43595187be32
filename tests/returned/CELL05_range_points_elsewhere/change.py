"""A range that formulas use leaves out a cell; not a letter of a formula has changed."""

from tests.returned.edits import edit_names


def change(data, _):
    return edit_names(
        data, lambda name, text: text.replace("$D$", "$E$") if name == "bore_size_1_all_all" else text
    )
