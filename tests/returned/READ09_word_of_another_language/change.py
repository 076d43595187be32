"""A choice was typed in another language."""

entries = {"torque_plate_2": "ein"}
