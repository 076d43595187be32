"""The heights of a crankpin at top and at bottom stand in each other's cells."""

entries = {"throw_height_top_2": 259.01, "throw_height_bottom_2": 341.02}
