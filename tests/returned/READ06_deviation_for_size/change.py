"""The dial's deviation was typed among whole sizes."""

entries = {"bore_reading_1_top_thrust": 0.002}
