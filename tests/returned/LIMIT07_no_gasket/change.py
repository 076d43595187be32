"""No offered gasket is thick enough."""

entries = {
    "deck_reading_2_front": 0.5,
    "deck_reading_2_rear": 0.5,
    "rocked_reading_2_up": 0.54,
    "rocked_reading_2_down": 0.46,
}
