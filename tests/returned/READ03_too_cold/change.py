"""A part was frozen, if the entry is right."""

entries = {"part_temperature_bore": -4}
