"""A bolt is shorter tight, or after release, than it was before.

What it finds: a rod bolt whose length tightened or after release is shorter than its length before, by more
than the micrometer can tell.
Why it matters: no bolt shrinks under load. Two lengths are swapped, or belong to two bolts, and the preload
that follows is worthless.
Example: bolt 2a measured 51.20 mm before and 51.06 mm tight.
What to do: look whether two lengths were swapped, and measure that bolt again.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.findings import Note, Severity
from validators.judged import apart_digits, shown_digits

CODE = "READ14"
NAME = "bolt-shorter"
SEVERITY = Severity.BLOCKS
AFTER = {"bolt_stretch": "bolt_tight_length", "bolt_set": "bolt_released_length"}
RESOLUTION = "gauge_resolution_bolt"


def find(sheet: Checked) -> Iterator[Note]:
    """List bolts that are shorter than before."""
    unit = sheet.plan.unit("bolt_stretch")
    found = shortened(sheet)
    for name, less in found.items():
        result = sheet.plan.by_name[name]
        if result.key == "bolt_set" and f"bolt_stretch_{result.index[0]}" in found:
            continue  # said of the same bolt already
        digits = apart_digits(shown_digits(sheet, result.key), (-less, 0.0))
        cell = sheet.plan.by_name[f"{AFTER[result.key]}_{result.index[0]}"]
        yield Note(
            place=sheet.place(cell),
            quantity=cell.name,
            found=f"{-less:.{digits}f} {unit} shorter than before",
            expected="a bolt that is longer when it is tight, and no shorter when it is released",
            todo="Look whether two lengths were swapped, and measure that bolt again.",
        )


def worthless(sheet: Checked) -> set[str]:
    """Return the names of what is judged and rests on such a length: stretch, set, separation margin."""
    names = set(shortened(sheet))
    rods = {name.removeprefix("bolt_stretch_")[:-1] for name in names if name.startswith("bolt_stretch_")}
    return names | {f"separation_margin_{rod}" for rod in rods}


def shortened(sheet: Checked) -> dict[str, float]:
    """Return stretch and set below nothing by more than the micrometer can tell, by name."""
    resolution = sheet.values.get(RESOLUTION)
    finest = resolution if isinstance(resolution, float) and resolution > 0 else 0.0
    found: dict[str, float] = {}
    for key in AFTER:
        for cell in sheet.plan.by_key[key]:
            value = sheet.reference.get(cell.name)
            if isinstance(value, float) and round(value + finest, 9) < 0 and cell.name not in sheet.spoilt:
                found[cell.name] = value
    return found
