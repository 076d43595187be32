"""A plain number stands where a date belongs."""

entries = {"measured_date": 17.4}
