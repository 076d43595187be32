"""A limit was typed with its unit: without it the upper limit is not kept by anything."""

entries = {"piston_clearance_upper": "0.062 mm"}
