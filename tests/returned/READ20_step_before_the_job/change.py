"""The year of a signature was mistyped: the step lies before the job was sent out."""

import datetime

entries = {"step_by_clean": "the bench", "step_date_clean": datetime.date(2030, 4, 19)}
