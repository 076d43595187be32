"""The ends of a rod weigh less than the whole rod."""

entries = {"rod_big_mass_2": 300.6}
