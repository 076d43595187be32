"""A decimal point two places too far to the left; it is no deviation either."""

entries = {"piston_reading_1": 0.85949}
