"""The temperature of a part was read in °F."""

entries = {"part_temperature_bore": 70}
