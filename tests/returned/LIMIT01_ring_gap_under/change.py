"""A ring gap has still to be filed."""

entries = {"ring_gap_reading_2_top": 0.28}
