"""A piston was turned round, a ring stands upside down, and retainers are missing or not seated."""

entries = {
    "piston_front_1": "turned round",
    "ring_side_up_2": "mark down",
    "rings_placed_3": "otherwise",
    "retainer_count_2": 1,
    "retainer_seat_2": "one end",
}
