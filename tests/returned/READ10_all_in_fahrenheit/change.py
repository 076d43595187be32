"""Every temperature was read in °F."""

FEATURES = (
    "bore", "piston", "main_housing", "rod_housing", "main_journal", "crankpin", "shell_wall", "pin_hole",
    "pin", "bush",
)
entries = {f"{what}_temperature_{feature}": 70 for what in ("part", "gauge") for feature in FEATURES}
