"""One bore reading in inches, in a workbook in millimetres."""

entries = {"bore_reading_1_top_thrust": 3.3859}
