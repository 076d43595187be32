"""A width in inches, in a workbook in millimetres."""

entries = {"pin_width_2": 0.957}
