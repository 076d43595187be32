"""The date of measuring was typed as text."""

entries = {"measured_date": "17.4.31"}
