"""The protection of a sheet was lifted."""

from tests.returned.edits import drop_element


def change(data, _):
    return drop_element(data, "Bores", "sheetProtection")
