"""One piston in millimetres, in a workbook in inches."""

engine = "twin"

entries = {"piston_reading_2": 101.486}
