"""An apostrophe in front of the number made it a text."""

entries = {"piston_reading_1": "'85.949"}
