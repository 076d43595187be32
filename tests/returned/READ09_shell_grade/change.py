"""A grade with a space behind it is none of the list."""

entries = {"main_shell_upper_2": "std "}
