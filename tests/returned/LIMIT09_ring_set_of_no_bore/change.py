"""A ring set whose gaps were never measured, and one whose mark was typed in two ways."""

entries = {
    "ring_mark_1": 7,
    "ring_mark_fitted_1": "7",
    "ring_mark_fitted_2": "S9",
}
