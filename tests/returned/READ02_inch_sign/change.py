"""A size in inches was typed with its sign into a workbook in millimetres."""

entries = {"bore_reading_1_top_thrust": '3.3859"'}
