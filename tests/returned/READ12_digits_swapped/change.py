"""Two digits changed places while a bore was typed: 86.040 for 86.004."""

entries = {"bore_reading_2_top_thrust": 86.04}
