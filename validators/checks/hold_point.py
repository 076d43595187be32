"""Something went in the wrong way.

What it finds: a ring with its mark down, a piston turned round, gaps that do not stand as drawn, fewer or
more than two retainers on a floating pin, or one that is not seated; and retainers of which nothing was
noted.
Why it matters: a ring the wrong way up pumps oil, a piston turned round hits a valve or slaps, and a
retainer that comes out ruins the bore.
Example: the piston of cylinder 4 has one retainer.
What to do: put it right before the piston goes in, and note it again.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity
from validators.together import together

CODE = "LIMIT10"
NAME = "put-right-first"
SEVERITY = Severity.BLOCKS
WRONG = {
    "ring_side_up": ("mark down", "the mark up, or no mark on the ring"),
    "piston_front": ("turned round", "the mark toward the front"),
    "rings_placed": ("otherwise", "the gaps as drawn on this sheet"),
}
"""By entry: the word that cannot stay, and what must be instead."""
RETAINERS = 2.0
SEATED = "both ends"


def find(sheet: Checked) -> Iterator[Note]:
    """List what was noted as wrong."""
    for key, (word, instead) in WRONG.items():
        for cell in sheet.plan.by_key[key]:
            if sheet.values[cell.name] == word:
                yield Note(
                    place=sheet.place(cell), quantity=cell.name, found=word, expected=instead,
                    todo="Put it right before the piston goes in, and note it again.",
                )
    if sheet.values.get("pin_fit") == "floating":
        yield from _retainers(sheet)
        yield from together(sheet, _not_noted(sheet))


def _not_noted(sheet: Checked) -> Iterator[Note]:
    """List what was not noted of the retainers."""
    for key in ("retainer_count", "retainer_seat"):
        for cell in sheet.plan.by_key[key]:
            if sheet.entries[cell.name].is_blank:
                yield Note(
                    place=sheet.place(cell), quantity=cell.name, severity=Severity.LOOK, found="blank",
                    expected="what was counted and felt before the piston went in",
                    todo="Note it; if nobody knows, draw the piston and look.",
                )


def _retainers(sheet: Checked) -> Iterator[Note]:
    """List floating pins whose retainers are not both there, or not both seated."""
    counts, seats = sheet.plan.by_key["retainer_count"], sheet.plan.by_key["retainer_seat"]
    for count, seat in zip(counts, seats, strict=True):
        number, word = sheet.values[count.name], sheet.values[seat.name]
        if isinstance(number, float) and number != RETAINERS:
            yield Note(
                place=sheet.place(count), quantity=count.name, found=f"{number:g} retainers on this pin",
                expected=f"{RETAINERS:g}, one at each end",
                todo="Count again, fit what is missing, and look for what is loose.",
            )
        if word is not None and word != SEATED:
            yield Note(
                place=sheet.place(seat), quantity=seat.name, found=f"seated: {word}", expected=SEATED,
                todo="Seat it all the way round its groove before the piston goes in.",
            )
