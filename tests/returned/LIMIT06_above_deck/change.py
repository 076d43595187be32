"""A piston rocks above its deck, and the chosen gasket leaves too little room."""

entries = {
    "deck_reading_2_front": 0.25,
    "deck_reading_2_rear": 0.25,
    "rocked_reading_2_up": 0.29,
    "rocked_reading_2_down": 0.21,
}
