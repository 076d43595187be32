"""A given size was cleared."""

entries = {"stroke_nominal": None}
