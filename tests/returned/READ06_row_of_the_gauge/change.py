"""The gauges sheet says deviation, and every bore was typed as a size."""

entries = {
    "entry_form_bore": "deviation",
    "setting_size_bore": 86.0,
}
