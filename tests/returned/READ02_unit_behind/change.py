"""The unit was typed behind the number."""

entries = {"bore_reading_1_top_thrust": "86.002 mm"}
