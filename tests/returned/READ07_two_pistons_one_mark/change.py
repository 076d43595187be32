"""Two pistons have one mark."""

entries = {"piston_mark_2": "P1"}
