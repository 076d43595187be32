"""A deviation was typed for an installed shell bore, which is always a whole size."""

entries = {"main_installed_bore_2": 0.044}
