"""A corpus of returned workbooks, each made again from its kind and its seed, and what `check` finds in it."""
