"""One of the sheets was hidden."""

from tests.returned.edits import set_visible


def change(data, _):
    return set_visible(data, "Gauges", "hidden")
