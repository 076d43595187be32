"""There is nothing to judge by.

What it finds: a measured quantity that must be judged and has no limit, or whose lower limit is above the
upper.
Why it matters: without a limit nothing is released; it counts as open, and is no pass.
Example: no limits for the oil clearance of the main bearings.
What to do: enter the limits from the part maker's sheet.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity
from validators.judged import RING_GAP, may_be_open

CODE = "LIMIT03"
NAME = "limit-open"
SEVERITY = Severity.LOOK


def find(sheet: Checked) -> Iterator[Note]:
    """List limited quantities with a value and no usable limits, once each."""
    said = set()
    for verdict in sheet.verdicts:
        key = sheet.plan.by_name[verdict.name].key
        if verdict.word not in ("no limit set", "check limits") or key in said or _cleared(sheet, key):
            continue
        said.add(key)
        entry = sheet.plan.catalogue.entries[key]
        open_ = verdict.word == "no limit set"
        yield Note(
            place=sheet.place(sheet.plan.by_name[_limit_name(sheet, key) or verdict.name]),
            quantity=_limit_name(sheet, key) or verdict.name,
            severity=Severity.INFORMATION if open_ and may_be_open(sheet, key) else None,
            found="no limit" if open_ else f"a lower limit of {verdict.lower:.6g} above an upper one of "
            f"{verdict.upper:.6g} {verdict.unit}".rstrip(),
            expected="a lower or an upper limit, with where it comes from" if open_
            else "a lower limit under the upper one",
            todo=f"Enter the limits of {entry.label} from the part maker's sheet.",
            holds_up=tuple(v.name for v in sheet.verdicts if sheet.plan.by_name[v.name].key == key),
        )


def _limit_name(sheet: Checked, key: str) -> str:
    """Return the cell where the first limit of a quantity is entered, "" when its limits are computed."""
    names = (f"{key}_{side}" for side in ("lower", "upper"))
    return next((name for name in names if key != RING_GAP and name in sheet.plan.by_name), "")


def _cleared(sheet: Checked, key: str) -> bool:
    """Return whether limits that were given were cleared: that is said of them."""
    given = [
        sheet.entries[name] for side in ("lower", "upper") if (name := f"{key}_{side}") in sheet.entries
    ]
    return any(reading.planned.value is not None and reading.is_blank for reading in given)
