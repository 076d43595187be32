"""The name of one cell was deleted."""

from tests.returned.edits import drop_names


def change(data, _):
    return drop_names(data, "piston_size_2")
