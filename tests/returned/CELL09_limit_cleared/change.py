"""A limit was cleared."""

entries = {"rod_clearance_upper": None}
