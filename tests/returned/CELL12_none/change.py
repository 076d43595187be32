"""The workbook was written without the shop's key."""

key = "5a" * 32
