"""The stored value of a floor, which no reference function states, is not what the limit gives."""

from tests.returned.edits import store


def change(data, plan):
    return store(data, plan, "pin_mass_spread_floor", "3.5")
