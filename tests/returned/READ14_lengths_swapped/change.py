"""The lengths before and tight of one bolt are swapped."""

entries = {"bolt_free_length_1a": 58.562, "bolt_tight_length_1a": 58.412}
