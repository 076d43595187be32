"""Two pistons changed places after they were measured."""

entries = {
    "crown_mark_1": "P2",
    "crown_mark_2": "P1",
}
