"""A decimal point one place too far to the right."""

entries = {"bore_reading_1_top_thrust": 860.02}
