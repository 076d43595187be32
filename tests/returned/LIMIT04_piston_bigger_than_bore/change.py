"""A piston is bigger than its bore."""

entries = {"piston_reading_3": 86.003}
