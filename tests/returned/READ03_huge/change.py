"""A number that nothing has."""

entries = {"chamber_volume_1": 1e+300}
