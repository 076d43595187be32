"""A sheet got another name; the names of its cells followed."""

from tests.returned.edits import rename_sheet


def change(data, _):
    return rename_sheet(data, "Bores", "Bores final")
