"""One pin was typed as a whole size among deviations."""

entries = {
    "entry_form_pin": "deviation",
    "setting_size_pin": 21.0,
    "pin_reading_1": -0.0016,
    "pin_reading_2": 20.9982,
    "pin_reading_3": -0.0015,
}
