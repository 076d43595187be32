"""There are no limits for a roughness that need not be measured."""

without = ["roughness_rpk"]
