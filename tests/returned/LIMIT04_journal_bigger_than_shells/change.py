"""A main journal is bigger than its shells."""

entries = {"main_journal_reading_2_rear_second": 55.05}
