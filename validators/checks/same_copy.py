"""One file came back more than once.

What it finds: files that are the same byte for byte, and copies of one job whose entries are all the same.
Why it matters: nothing is lost when only one is kept.
Example: job-12.xlsx stands in the folder and is attached to a mail.
What to do: nothing; keep one of them.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.contents import same_held
from validators.findings import Note, Place, Severity
from validators.returned_pile import ReturnedPile

CODE = "PILE03"
NAME = "same-copy"
SEVERITY = Severity.INFORMATION
TODO = "Nothing; keep one of them."


def find_in_pile(pile: ReturnedPile) -> Iterator[Note]:
    """Say once of each group which files are the same."""
    for places in pile.identical:
        yield Note(
            place=Place(file=places[0]),
            found=f"the same file, byte for byte, as {', '.join(places[1:])}",
            expected="one copy",
            todo=TODO,
        )
    for copies in pile.copies:
        differences = tuple(copies.differences)
        same = [
            file for number, file in enumerate(copies.files)
            if number and all(same_held(d.values[number], d.values[0]) for d in differences)
        ]
        if same:
            yield Note(
                place=Place(file=copies.files[0]),
                found=f"the same entries as {', '.join(same)}, saved again",
                expected="one copy",
                todo=TODO,
            )
