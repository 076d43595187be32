"""The build definition in the hidden sheet ends in the middle."""

from tests.returned.edits import edit_birth


def change(data, _):
    return edit_birth(data, "build definition 1", lambda text: text[: len(text) // 2])
