"""A text as long as a cell can hold."""

entries = {"chamber_volume_2": "4" * 32_000}
