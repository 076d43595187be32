"""There is nothing to judge by.

What it finds: a measured quantity that must be judged and has no limit, or whose lower limit is above the upper.
Why it matters: without a limit nothing is released; it counts as open.
Example: no limits for the oil clearance of the main bearings.
What to do: enter the limits from the part maker's sheet.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.judged import verdicts
from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "LIMIT03"
NAME = "limit-open"
SEVERITY = Severity.INFORMATION


def find(sheet: Checked) -> Iterator[Note]:
    """List limited quantities with a value and no usable limits, once each."""
    said = set()
    for verdict in verdicts(sheet):
        key = sheet.plan.by_name[verdict.name].key
        if verdict.word in ("no limit set", "check limits") and key not in said:
            said.add(key)
            yield Note(
                place=verdict.place,
                quantity=verdict.name,
                severity=Severity.LOOK if verdict.word == "check limits" else None,
                found=verdict.word,
                expected="a lower or an upper limit, with where it comes from",
                todo="Enter the limits from the part maker's sheet.",
            )
