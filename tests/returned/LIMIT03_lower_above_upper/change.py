"""The lower limit was moved above the upper one."""

entries = {"main_clearance_lower": 0.07}
