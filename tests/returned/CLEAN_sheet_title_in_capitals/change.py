"""A program writes a title in capitals."""

from tests.returned.edits import rename_sheet


def change(data, _):
    return rename_sheet(data, "Bores", "BORES")
