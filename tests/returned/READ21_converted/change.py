"""A piston was read in inches and converted; another one was read to half a division."""

entries = {"piston_reading_2": 85.9508, "piston_reading_1": 85.9495}
