"""A program took the decimal point for one between thousands."""

entries = {"main_journal_reading_2_front_first": 55001}
