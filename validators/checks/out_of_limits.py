"""A result is out of its limits.

What it finds: a verdict "under" or "over": outside the limit by more than the uncertainty of the gauge.
Why it matters: the part is not as the limit wants it.
Example: the oil clearance of main bearing 3 is 0.071 mm, the limit 0.064 mm.
What to do: mend the part or choose another; the part maker's sheet decides what is allowed.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.checks.bolt_shorter import worthless
from validators.checks.impossible_pair import impossible
from validators.findings import Note, Severity
from validators.judged import beyond, judged

CODE = "LIMIT01"
NAME = "out-of-limits"
SEVERITY = Severity.BLOCKS
TODO = "Mend the part or choose another; the part maker's sheet decides what is allowed."
TODO_OF = {
    ("bolt_stretch", "under"): "Loosen the bolt, oil it and tighten it again to its stretch.",
    ("bolt_stretch", "over"): "Replace the bolt: it may have yielded.",
    ("bolt_set", "over"): "Replace the bolt: it has stretched for good.",
    **{
        (f"{part}_spread", "over"): "Match the parts: the masses sheet says how many grams come off which."
        for part in ("piston_mass", "rod_small", "rod_big", "reciprocating")
    },
    ("ring_gap_reading", "under"): "File the ring: Ring gaps says by how much; its maker's sheet decides.",
    ("ring_gap_reading", "over"): "Take another ring; its maker's sheet decides what is allowed.",
    ("separation_margin", "under"): "More preload within the maker's sheet, lighter parts or less speed.",
}
"""What to do where it is another thing than with a part that does not fit."""


def find(sheet: Checked) -> Iterator[Note]:
    """List verdicts under and over."""
    told = {*impossible(sheet), *worthless(sheet)}
    for verdict in sheet.verdicts:
        if verdict.word in ("under", "over") and verdict.name not in told:
            todo = TODO_OF.get((sheet.plan.by_name[verdict.name].key, verdict.word), TODO)
            yield judged(sheet, verdict, beyond(sheet, verdict), todo)
