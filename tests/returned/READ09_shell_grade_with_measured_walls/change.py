"""A grade that is not in the list, and walls that were measured: they count first."""

entries = {
    "main_shell_upper_2": "blue",
    "main_wall_upper_2": 1.978,
}
