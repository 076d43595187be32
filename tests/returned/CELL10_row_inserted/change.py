"""A row was inserted above cylinder 3."""

from tests.returned.edits import insert_row


def change(data, plan):
    return insert_row(data, "Bores", plan.by_name["bore_reading_3_top_thrust"].row)
