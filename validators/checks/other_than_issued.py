"""It is not a workbook that was issued.

What it finds: with `--issued`, a workbook that was written from another plan than the issued file of its job,
that is like none of the issued files, or like several of them.
Why it matters: limits and targets are compared with the file that was sent out; without it, or with a birth
record that somebody wrote anew, a moved limit may be overlooked.
Example: the job number is that of the issued file, and the birth record gives another plan.
What to do: ask where this file comes from, and have the readings typed into the one that was sent.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.errors import quoted
from validators.findings import Note, Severity
from validators.together import addresses, counted

CODE = "CELL13"
NAME = "other-than-issued"
SEVERITY = Severity.LOOK
LONGEST_PLACE = 200
REWRITTEN = "Ask where this file comes from, and have the readings typed into the one that was sent."
UNKNOWN = "Name the file that was sent for this job with --issued, or ask where this one comes from."
SEVERAL = "Name only the file that was sent for this job with --issued."


def find(sheet: Checked) -> Iterator[Note]:
    """Look which of the issued files this one was."""
    if sheet.issued is None or not sheet.issued.files:
        return
    alike = sheet.issued_alike
    if len(alike) == 1 and alike[0].plan == sheet.plan.digest:
        return
    here = f"plan '{sheet.plan.digest[:12]}'"
    if not alike:
        found, todo = f"a workbook of {here}, like none of them", UNKNOWN
        expected = f"one that was issued, of the {counted(len(sheet.issued.files), 'file')} to compare with"
    elif len(alike) > 1:
        found, todo = f"a workbook of {here}, which may be any of several", SEVERAL
        places = addresses([quoted(file.place, LONGEST_PLACE) for file in alike])
        expected = f"one issued file of this job, not {places}"
    else:
        found, todo = f"a workbook of {here}, though its job is the same", REWRITTEN
        place = quoted(alike[0].place, LONGEST_PLACE)[1:-1]
        expected = f"plan '{alike[0].plan[:12]}', as it was issued ({place})"
    yield Note(
        place=sheet.of_file(), severity=Severity.BLOCKS if todo is REWRITTEN else None, found=found,
        expected=expected, todo=todo,
    )
