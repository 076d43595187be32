"""Nothing happened to the workbook in inches."""

engine = "twin"
