"""A mark was typed as a text once, and once as a number."""

entries = {
    "piston_mark_1": "1",
    "crown_mark_1": 1,
}
