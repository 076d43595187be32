"""A crown that fills more than the whole chamber: each volume could be, both together cannot."""

entries = {"crown_volume_2": -60}
