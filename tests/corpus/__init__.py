"""A corpus of returned workbooks, each made again from kind and seed, and what `check` finds in it."""
