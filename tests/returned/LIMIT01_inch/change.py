"""A bore is out of round, in a workbook in inches."""

engine = "twin"

entries = {"bore_reading_2_middle_pin": 4.001}
