"""Somebody moved a limit in the hidden sheet, so that the moved limit would look as issued."""

from tests.returned.edits import edit_birth


def change(data, _):
    return edit_birth(data, "build definition 1", lambda text: text.replace(
        '["piston_clearance_upper",[],0.062]', '["piston_clearance_upper",[],0.082]'
    ))
