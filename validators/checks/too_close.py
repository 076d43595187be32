"""A result is too close to its limit to call.

What it finds: a verdict "too close to call": nearer to a limit than the uncertainty of the gauge.
Why it matters: it may be within or out; the gauge cannot tell. It is not a pass.
Example: a clearance of 0.0625 mm with U = 0.003 mm against a limit of 0.064 mm.
What to do: measure again with a better gauge, average more readings, or choose a part that is clear of the limit.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.judged import judged, verdicts
from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "LIMIT02"
NAME = "too-close-to-call"
SEVERITY = Severity.LOOK


def find(sheet: Checked) -> Iterator[Note]:
    """List verdicts too close to call."""
    for verdict in verdicts(sheet):
        if verdict.word == "too close to call":
            yield judged(sheet, verdict, "nearer to the limit than the gauge can tell", TODO)


TODO = "Measure again with a better gauge or more readings, or choose a part clear of the limit."
