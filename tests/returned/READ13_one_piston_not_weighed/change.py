"""One of three pistons was not weighed."""

entries = {"piston_mass_3": None}
