"""A journal was ground small: thicker shells would land nearer than what is in."""

entries = {
    "crankpin_reading_2_front_first": 47.982,
    "crankpin_reading_2_front_second": 47.982,
    "crankpin_reading_2_rear_first": 47.982,
    "crankpin_reading_2_rear_second": 47.982,
}
