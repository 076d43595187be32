"""The pistons are signed as fitted while a retainer is missing; an earlier step is signed and right."""

import datetime

entries = {
    "retainer_count_2": 1,
    "step_by_clean": "one who looks",
    "step_date_clean": datetime.date(2031, 4, 18),
    "step_by_pistons": "one in a hurry",
    "step_date_pistons": datetime.date(2031, 4, 18),
}
