"""What the keyed digest of a returned workbook says, to whoever holds the shop's key."""

from __future__ import annotations

from sheetgen.seal import KEY_MARK, SEAL, SealRow
from validators.birth import record_rows
from validators.checked import Checked

LONGEST = 64
FITS, NONE, OTHER_KEY, BROKEN = "fits", "none", "of another key", "does not fit"


def keyed_digest(sheet: Checked) -> str:
    """Return how the keyed digest stands; "" where no key is at hand."""
    key = sheet.issued.key if sheet.issued else None
    if key is None:
        return ""
    rows = record_rows(sheet.returned)
    if not rows.get(SEAL):
        return NONE
    if key.fits(sheet.plan, rows[SEAL]):
        return FITS
    return BROKEN if rows.get(KEY_MARK) == key.mark else OTHER_KEY


def seal_of(sheet: Checked) -> list[SealRow]:
    """Return the keyed digest of a workbook, to be carried into another one of the same plan."""
    rows = record_rows(sheet.returned)
    return [(head, rows[head][:LONGEST]) for head in (KEY_MARK, SEAL) if rows.get(head)]


def key_mark(sheet: Checked) -> str:
    """Return which key the birth record says its keyed digest was made with."""
    return record_rows(sheet.returned).get(KEY_MARK, "")
