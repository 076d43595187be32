"""One stored value is not what the readings give."""

from tests.returned.edits import store


def change(data, plan):
    return store(data, plan, "compression_ratio_2", "9.9")
