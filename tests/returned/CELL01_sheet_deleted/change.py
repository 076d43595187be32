"""A sheet was deleted, and everything that was entered on it."""

from tests.returned.edits import delete_sheet


def change(data, _):
    return delete_sheet(data, "Ring gaps")
