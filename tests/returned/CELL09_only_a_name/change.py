"""The engine was called something else, and a usual figure was replaced."""

entries = {
    "engine_name": "bench three, second try",
    "dwell_distance": 0.5,
}
