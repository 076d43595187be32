"""A text with control characters, such as could steer a terminal."""

entries = {"chamber_volume_2": "45\t0\u202e\n=cmd"}
