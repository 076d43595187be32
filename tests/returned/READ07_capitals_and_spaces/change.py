"""Two rods have one mark, spelt in two ways."""

entries = {"rod_mark_3": " r1"}
