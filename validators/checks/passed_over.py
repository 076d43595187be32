"""A file of the pile is no workbook.

What it finds: anything in a folder, an archive or a saved mail that is not an .xlsx or .ods workbook. It
needs a look when it may hold readings all the same: an older workbook format, an archive of another kind, a
file with a password.
Why it matters: nothing in it was checked.
Example: block.jpg is a picture; job-7.xls is an older workbook format.
What to do: nothing about a picture or a letter; save an older workbook as .xlsx and check that file.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.findings import Note, Place, Severity
from validators.returned_pile import ReturnedPile

CODE = "PILE01"
NAME = "passed-over"
SEVERITY = Severity.INFORMATION


def find_in_pile(pile: ReturnedPile) -> Iterator[Note]:
    """Name every file that was passed over."""
    for aside in pile.asides:
        yield Note(
            place=Place(file=aside.place),
            found=aside.found,
            expected="a workbook (.xlsx or .ods), or an archive or a mail that holds some",
            todo=aside.todo,
            severity=Severity.LOOK if aside.grave else None,
        )
