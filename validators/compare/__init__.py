"""Two people's readings of the same parts: `compare` in comparison.py, and its reports."""
