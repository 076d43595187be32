"""A reading and a mark were cleared with the space bar."""

entries = {
    "ring_gap_reading_2_top": "  ",
    "ring_mark_3": " ",
}
