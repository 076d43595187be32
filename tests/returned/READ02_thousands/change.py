"""A speed was typed with a comma between the thousands."""

entries = {"engine_speed": "6,500"}
