"""TRUE was typed for a reading."""

entries = {"piston_reading_2": True}
