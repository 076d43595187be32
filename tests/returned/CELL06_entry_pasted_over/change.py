"""A formula cell was copied over an entry cell: its lock and its entry rule went."""

from tests.returned.edits import drop_rule, wear_style_of


def change(data, plan):
    data = wear_style_of(data, plan, "bore_reading_1_top_thrust", "bore_mean_1")
    return drop_rule(data, plan, "bore_reading_1_top_thrust")
