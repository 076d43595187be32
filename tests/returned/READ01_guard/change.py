"""Whoever measures cleared how often a bore was read."""

entries = {"gauge_repeat_count_bore": None}
