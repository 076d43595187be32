"""Bores and pins were typed as the dial shows them."""

entries = {
    "entry_form_pin": "deviation",
    "setting_size_pin": 21.0,
    "pin_reading_1": -0.0016,
    "pin_reading_2": -0.0018,
    "pin_reading_3": -0.0015,
}
