"""A gauge is said to have been calibrated after it was used."""

import datetime

entries = {"gauge_calibrated_piston": datetime.date(2031, 6, 1)}
