"""Choices and grades were typed in capitals."""

entries = {
    "torque_plate_1": "ON",
    "main_shell_upper_1": "STD",
    "entry_form_bore": "Size",
    "piston_mark_1": "p1",
}
