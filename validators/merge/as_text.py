"""What came of merging, as text for a person and as plain data."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from validators.merge.merging import UNDISPUTED, Conflict, Merged
from validators.reports.as_text import printable

SHAPE, VERSION = "boreledger merge", 1


def as_text(merged: Merged) -> str:
    """Return the report."""
    return "\n".join(_lines(merged)).rstrip() + "\n"


def _lines(merged: Merged) -> Iterator[str]:
    if merged.damage:
        yield "Nothing was written: what was typed into these copies cannot be told for sure."
        for finding in merged.damage:
            place = f"{finding.place.file}  {finding.place}".rstrip()
            yield f"  {finding.code} {finding.name}   {printable(place)}: {printable(finding.found)}"
        yield "Mend them, or ask for new copies; boreledger check says what to do about each."
        return
    yield f"{printable(merged.out)}: {merged.together} entries that nobody disputes"
    for file, count in zip(merged.files, merged.taken, strict=True):
        yield f"  {count:5} of them stand in {printable(file)}"
    yield ""
    if merged.changed:
        yield "Given when the workbook went out, and changed since:"
        for item in merged.changed:
            yield from _item(item)
        yield ""
    if not merged.conflicts:
        yield "No conflict."
        return
    for title, told in (
        ("Conflicts, left as they were issued", merged.open),
        ("Conflicts that the call settles", tuple(c for c in merged.conflicts if c.settled)),
    ):
        if told:
            yield f"{title} ({len(told)}):"
            for item in told:
                yield from _item(item)
            yield ""
    if merged.open:
        yield (
            "Type them into the merged workbook, or merge again with --prefer FILE (one copy stands where "
            "hands differ) or --join-notes (names and notes one after the other)."
        )


def _item(item: Conflict) -> Iterator[str]:
    settled = f"   [{printable(item.settled)}]" if item.settled not in ("", UNDISPUTED) else ""
    yield f"  {item.sheet}!{item.cell}  {printable(item.label)}{settled}"
    for claim in item.claims:
        notes = [note for note in ("as issued" if claim.as_issued else "", claim.fault) if note]
        told = f" ({'; '.join(notes)})" if notes else ""
        yield f"      {printable(claim.told) or 'blank'}{told}   in {printable(claim.file)}"


def as_json(merged: Merged) -> str:
    """Return the report as JSON text."""
    data: dict[str, Any] = {
        "shape": SHAPE,
        "version": VERSION,
        "exit_status": merged.exit_status,
        "written": "" if merged.damage else merged.out,
        "files": [
            {"file": file, "entries": count} for file, count in zip(merged.files, merged.taken, strict=True)
        ],
        "undisputed": merged.together,
        "changed": [asdict(item) for item in merged.changed],
        "conflicts": [asdict(item) for item in merged.conflicts],
        "damage": [
            {
                "file": f.place.file, "code": f.code, "name": f.name, "sheet": f.place.sheet,
                "cell": f.place.cell, "found": f.found,
            }
            for f in merged.damage
        ],
    }
    return json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False) + "\n"
