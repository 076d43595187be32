"""The workbook was written from a later edition of the templates."""

from tests.returned.edits import edit_birth


def change(data, _):
    return edit_birth(data, "template version", lambda _: "7")
