"""Three bore readings were not taken."""

entries = {
    "bore_reading_2_top_thrust": None,
    "bore_reading_2_top_pin": None,
    "bore_reading_2_bottom_pin": None,
}
