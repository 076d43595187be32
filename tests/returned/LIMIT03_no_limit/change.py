"""The builder gave no limits for the rod bearings."""

without = ["rod_clearance"]
