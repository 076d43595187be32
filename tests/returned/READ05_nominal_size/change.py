"""The nominal size of the crankpins was changed and its decimal point slipped: the readings are sound."""

entries = {"nominal_size_crankpin": 4.8}
