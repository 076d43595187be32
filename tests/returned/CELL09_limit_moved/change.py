"""The upper limit of a clearance was moved."""

entries = {"piston_clearance_upper": 0.09}
