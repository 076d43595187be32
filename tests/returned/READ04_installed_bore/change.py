"""An installed shell bore in inches."""

entries = {"main_installed_bore_2": 2.1671}
