"""The readings of bore 2 were copied into the row of bore 3."""

BORE_2 = {
    "top_thrust": 86.004, "middle_thrust": 86.002, "bottom_thrust": 86.0,
    "top_pin": 86.001, "middle_pin": 86.0, "bottom_pin": 85.999,
}
entries = {f"bore_reading_3_{place}": size for place, size in BORE_2.items()} | {
    f"bore_reading_2_{place}": size for place, size in BORE_2.items()
}
