"""The wanted clearance was changed a little."""

entries = {"main_clearance_target": 0.046}
