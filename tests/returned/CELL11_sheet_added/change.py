"""A sheet was added."""

from tests.returned.edits import add_sheet


def change(data, _):
    return add_sheet(data, "Notes from the shop")
