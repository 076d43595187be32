"""A word is not in the list.

What it finds: an entry that should be chosen from a list and is not on it.
Why it matters: a word that is not on the list is taken as blank.
Example: "yes please" where the list has yes and no.
What to do: choose from the list.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.errors import quoted
from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "READ09"
NAME = "word-not-in-list"
SEVERITY = Severity.LOOK


def find(sheet: Checked) -> Iterator[Note]:
    """List choices that are not in their list."""
    plan = sheet.plan
    for name, reading in sheet.entries.items():
        entry = plan.catalogue.entries[reading.planned.key]
        held = reading.located.cell
        if reading.fault == "word" and held is not None:
            allowed = plan.catalogue.words[entry.words]
            value: object = held.value
        elif entry.list and reading.value is not None:
            listed = [sheet.values.get(c.name) if c.is_input else c.value for c in plan.by_key[entry.list]]
            allowed = tuple(str(word) for word in listed if word is not None)
            value = reading.value
            if str(value).casefold() in {word.casefold() for word in allowed}:
                continue
        else:
            continue
        yield Note(
            place=sheet.place(reading.planned),
            quantity=name,
            found=quoted(str(value)),
            expected="one of " + ", ".join(allowed) if allowed else "a list that is not empty",
            todo="Choose from the list.",
            holds_up=sheet.holds_up([name]),
        )
