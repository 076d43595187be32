"""Of one rod only one bolt was measured tight."""

entries = {"bolt_tight_length_2b": None}
