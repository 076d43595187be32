"""The keyed digest of the birth record does not hold.

What it finds: with `--key`, a birth record whose keyed digest is missing, was made with another key, or does
not fit what the record says.
Why it matters: limits, targets and sizes are compared with the birth record; whoever writes another record,
with a plain digest that fits it, moves them unseen. The keyed digest cannot be made without the key.
Example: a birth record with a wider limit, taken from a workbook that was written elsewhere.
What to do: compare with the file that was sent (`--issued`), and ask where this one comes from; a workbook
that was written without the key has no keyed digest.
"""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen.plan import BIRTH_SHEET
from validators.checked import Checked
from validators.errors import quoted
from validators.findings import Note, Severity
from validators.sealed import BROKEN, FITS, NONE, key_mark, keyed_digest

CODE = "CELL12"
NAME = "keyed-digest-broken"
SEVERITY = Severity.LOOK
LONGEST_MARK = 20
FORGED = "Use no verdict of it: take limits from the file that was sent, and ask who wrote this one."
ASK = "Compare it with the file that was sent (--issued), and ask where this one comes from."


def find(sheet: Checked) -> Iterator[Note]:
    """Look whether the keyed digest fits the birth record."""
    state = keyed_digest(sheet)
    if state in ("", FITS):
        return
    key = sheet.issued.key if sheet.issued else None
    found = {
        NONE: "no keyed digest",
        BROKEN: "a keyed digest that does not fit what the birth record says",
    }.get(state, f"a keyed digest of another key, {quoted(key_mark(sheet), LONGEST_MARK)}")
    yield Note(
        place=sheet.of_file(BIRTH_SHEET),
        severity=Severity.BLOCKS if state == BROKEN else None,
        found=found,
        expected=f"the keyed digest of the shop key '{key.mark if key else ''}'",
        todo=FORGED if state == BROKEN else ASK,
    )
