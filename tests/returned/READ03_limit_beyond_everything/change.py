"""A limit was typed that nothing could ever exceed."""

entries = {"main_clearance_upper": 1e+30}
