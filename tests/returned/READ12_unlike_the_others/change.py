"""One pin journal was measured where it is worn: the number may well be right."""

entries = {"crankpin_reading_2_rear_second": 47.985}
