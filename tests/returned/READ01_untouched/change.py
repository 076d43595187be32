"""The workbook comes back as it went out."""

start = "issued"
