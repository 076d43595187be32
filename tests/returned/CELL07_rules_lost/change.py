"""A sheet came back without its entry rules."""

from tests.returned.edits import drop_element


def change(data, _):
    return drop_element(data, "Ring gaps", "dataValidations")
