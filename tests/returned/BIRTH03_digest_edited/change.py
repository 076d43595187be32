"""The digest of the plan was changed."""

from tests.returned.edits import edit_birth


def change(data, _):
    return edit_birth(data, "plan digest", lambda text: text[::-1])
