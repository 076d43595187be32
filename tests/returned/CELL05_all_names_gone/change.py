"""A tool dropped every name."""

from tests.returned.edits import edit_names


def change(data, _):
    return edit_names(data, lambda name, text: None)
