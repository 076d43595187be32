"""The ring sets of cylinders 2 and 3 were swapped when the pistons were put together."""

entries = {
    "ring_mark_fitted_2": "C",
    "ring_mark_fitted_3": "B",
}
