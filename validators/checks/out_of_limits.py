"""A result is out of its limits.

What it finds: a verdict "under" or "over": outside the limit by more than the uncertainty of the gauge.
Why it matters: the part is not as the limit wants it.
Example: the oil clearance of main bearing 3 is 0.071 mm, the limit 0.064 mm.
What to do: mend the part or choose another; the part maker decides what is allowed.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.judged import judged, verdicts
from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "LIMIT01"
NAME = "out-of-limits"
SEVERITY = Severity.BLOCKS


def find(sheet: Checked) -> Iterator[Note]:
    """List verdicts under and over."""
    for verdict in verdicts(sheet):
        if verdict.word in ("under", "over"):
            yield judged(sheet, verdict, f"{verdict.word} the limit", TODO)


TODO = "Mend the part or choose another; the part maker's sheet decides."
