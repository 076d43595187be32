"""A piston is too small for its bore."""

entries = {"piston_reading_3": 85.92}
