"""A bore is already bigger than its piston wants it."""

entries = {"bore_present_largest_2": 86.012}
