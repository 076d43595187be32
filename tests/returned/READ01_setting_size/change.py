"""Pin holes were typed as deviations, and nobody said from what size."""

entries = {
    "entry_form_pin_hole": "deviation",
    "pin_hole_reading_1": 0.0003,
    "pin_hole_reading_2": 0.0001,
    "pin_hole_reading_3": 0.0005,
}
