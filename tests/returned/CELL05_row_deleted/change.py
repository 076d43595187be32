"""The row of cylinder 3 was deleted from the readings."""

from tests.returned.edits import delete_row


def change(data, plan):
    return delete_row(data, "Bores", plan.by_name["bore_reading_3_top_thrust"].row)
