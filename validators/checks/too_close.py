"""A result is too close to its limit to call.

What it finds: a verdict "too close to call": nearer to a limit than the uncertainty of the gauge.
Why it matters: it may be within or out; the gauge cannot tell. It is not a pass.
Example: a clearance of 0.0625 mm with U = 0.003 mm against a limit of 0.064 mm.
What to do: measure again with a better gauge, average more readings, or choose a part clear of the limit.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.checks.impossible_pair import impossible
from validators.findings import Note, Severity, Verdict
from validators.judged import judged

CODE = "LIMIT02"
NAME = "too-close-to-call"
SEVERITY = Severity.LOOK
TODO = "Measure again with a better gauge or more readings, or choose a part clear of the limit."


def find(sheet: Checked) -> Iterator[Note]:
    """List verdicts too close to call."""
    told = impossible(sheet)
    for verdict in sheet.verdicts:
        if verdict.word == "too close to call" and verdict.name not in told:
            yield judged(sheet, verdict, _why(verdict), TODO)


def _why(verdict: Verdict) -> str:
    lower, upper, guard = verdict.lower, verdict.upper, verdict.guard
    if None not in (lower, upper, guard) and upper - lower < 2 * guard:  # type: ignore[operator]
        return "the gauge is not good enough for these limits: nothing between them can pass"
    return "nearer to the limit than the gauge can tell"
