"""A number in the build definition is none that can be."""

from tests.returned.edits import edit_birth


def change(data, _):
    return edit_birth(data, "build definition 1", lambda text: text.replace('"mains":4', '"mains":1e999'))
