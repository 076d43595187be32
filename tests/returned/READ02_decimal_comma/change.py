"""A decimal comma, in a program that wants a point."""

entries = {"bore_reading_1_top_thrust": "86,002"}
