"""Copies of one job differ.

What it finds: files with one birth record and one job number (or, without a number, with the same readings
typed in) that do not hold the same entries. The newest comes first: by the date in the document properties,
else the date of the mail, else the time of the file; the finding says which. A copy in which nothing was
typed is never the newest. For information only where the newest holds all that the older one does, and more.
Why it matters: somebody may go on with the older copy, and of two readings only one can be right.
Example: job-12 v2.xlsx and job-12 final.xlsx differ in one bore reading.
What to do: go on with the newest, and ask whoever measured about the readings that differ.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.contents import Held, same_held
from validators.errors import quoted
from validators.findings import Copies, Difference, Note, Place, Severity
from validators.returned_pile import ReturnedPile
from validators.together import counted

CODE = "PILE02"
NAME = "copies-differ"
SEVERITY = Severity.LOOK
MOST_TOLD = 12
LONGEST_VALUE = 30


def find_in_pile(pile: ReturnedPile) -> Iterator[Note]:
    """Compare every older copy with the newest."""
    for copies in pile.copies:
        differences = tuple(copies.differences)
        for number, file in enumerate(copies.files[1:], start=1):
            apart = [d for d in differences if not same_held(d.values[number], d.values[0])]
            if apart:
                yield _note(copies, number, file, apart)


def _note(copies: Copies, number: int, file: str, apart: list[Difference]) -> Note:
    lost = [d for d in apart if not _untouched(d, d.values[number])]
    filled = f"{counted(len(apart) - len(lost), 'cell')} still as issued here, and filled in the newest"
    parts = [
        f"{d.place.label} ({d.place.sheet}!{d.place.cell}): {_value(d.values[number])} here, "
        f"{_value(d.values[0])} in the newest"
        for d in lost[:MOST_TOLD]
    ]
    if len(lost) > MOST_TOLD:
        parts.append(f"and {len(lost) - MOST_TOLD} more")
    if len(apart) > len(lost):
        parts.append(filled)
    first = (lost or apart)[0]
    job = f" of job {quoted(copies.job)[1:-1]}" if copies.job else ""
    dated = f", {copies.times[0]}" if copies.times[0] else ""
    return Note(
        place=Place(file=file, sheet=first.place.sheet, cell=first.place.cell, label=first.place.label),
        quantity=first.name,
        severity=None if lost else Severity.INFORMATION,
        found=f"an older copy{job}: {'; '.join(parts)}",
        expected=f"what the newest has, {copies.files[0]} (by the {copies.told_by}{dated})",
        todo="Go on with the newest, and ask whoever measured which of the readings holds."
        if lost else "Go on with the newest: it holds all that this one does, and more.",
    )


def _untouched(difference: Difference, value: Held) -> bool:
    return value is None or same_held(value, difference.issued)


def _value(value: Held) -> str:
    if value is None:
        return "blank"
    return f"{value:.10g}" if isinstance(value, float) else quoted(str(value), LONGEST_VALUE)[1:-1]
