"""A ring gap in inches: as millimetres it would only look far too small."""

entries = {"ring_gap_reading_2_top": 0.0157}
