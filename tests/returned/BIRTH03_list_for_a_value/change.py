"""A list stands where the build definition has a value."""

from tests.returned.edits import edit_birth


def change(data, _):
    return edit_birth(data, "build definition 1", lambda text: text.replace(
        '"stroke_nominal",[],82', '"stroke_nominal",[],[82]'
    ))
