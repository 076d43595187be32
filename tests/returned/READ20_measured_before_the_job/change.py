"""The year of the measurement was mistyped: it lies before the job was sent out."""

import datetime

entries = {"measured_date": datetime.date(2030, 4, 17)}
