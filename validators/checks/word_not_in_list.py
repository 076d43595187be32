"""A word is not in the list.

What it finds: an entry that should be chosen from a list and is not on it: a choice, a material, a shell
grade. For information only where a typed figure counts before what the name stands for.
Why it matters: a word that is not on the list is taken as blank.
Example: "yes please" where the list has yes and no.
What to do: choose from the list.
"""

from __future__ import annotations

from collections.abc import Iterator

from validators.checked import Checked
from validators.errors import quoted
from validators.expected import listed
from validators.findings import Note, Severity
from validators.readings import Reading
from validators.together import together

CODE = "READ09"
NAME = "word-not-in-list"
SEVERITY = Severity.LOOK


def find(sheet: Checked) -> Iterator[Note]:
    """List choices that are not in their list."""
    return together(sheet, _strangers(sheet))


def _strangers(sheet: Checked) -> Iterator[Note]:
    for name, reading in sheet.entries.items():
        strange = sheet.strange_names.get(name)
        if reading.fault == "word":
            words = sheet.plan.catalogue.words[sheet.plan.catalogue.entries[reading.planned.key].words]
            expected, held_up = listed(words), sheet.holds_up([name])
            severity = Severity.BLOCKS if held_up else Severity.LOOK
        elif strange is not None:
            expected = listed(tuple(_text(word) for word in strange.allowed))
            expected = expected if strange.allowed else "a name from its list, which is still empty"
            held_up = () if strange.overridden else sheet.holds_up([name])
            severity = Severity.INFORMATION if strange.overridden else Severity.BLOCKS
        else:
            continue
        yield Note(
            place=sheet.place(reading.planned),
            quantity=name,
            severity=severity,
            found=_told(reading),
            expected=expected,
            todo="Choose from the list.",
            holds_up=held_up,
        )


def _text(word: float | str) -> str:
    return word if isinstance(word, str) else f"{word:.10g}"


def _told(reading: Reading) -> str:
    if isinstance(reading.value, float):
        return f"the number {reading.text}"
    spaces = " with spaces at its ends" if reading.text != reading.text.strip() else ""
    return f"{quoted(reading.text)}{spaces}"
