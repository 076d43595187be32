"""Entry rules were lost.

What it finds: entry cells that no longer check what is typed.
Why it matters: pasting takes the rule away, so a slip is no longer stopped where it happens.
Example: the bore readings of cylinder 3 accept anything.
What to do: nothing, if the readings are sound: they are checked here as well. Paste values only.
"""

from __future__ import annotations

from collections.abc import Iterator
from collections.abc import Iterable

from openpyxl.utils import range_boundaries

from sheetgen.rules import entry_rule
from validators.returned import ReturnedValidation
from validators.checked import Checked
from validators.findings import Note, Severity

CODE = "CELL07"
NAME = "entry-rule-lost"
SEVERITY = Severity.INFORMATION


KINDS = {"decimal": "decimal", "list": "list", "date": "date", "length": "textLength"}


def find(sheet: Checked) -> Iterator[Note]:
    """Look whether every entry cell is still covered by a rule of its kind, once per sheet."""
    for planned in sheet.plan.sheets:
        title = planned.template.title
        cells = [
            cell
            for cell in sheet.plan.cells
            if cell.sheet == title and cell.is_input and cell.name not in sheet.gone
        ]
        if not cells:
            continue
        held = sheet.returned.sheet(sheet.located[cells[0].name].sheet)
        if held is None:
            continue
        covered = {kind: Areas(held.validations, kind) for kind in KINDS.values()}
        bare = [
            cell
            for cell in cells
            if sheet.located[cell.name].address
            not in covered[KINDS[entry_rule(sheet.plan, cell.key)["validate"]]]
        ]
        if bare:
            yield Note(
                place=sheet.place(bare[0]),
                quantity=bare[0].name,
                found=f"{len(bare)} entry cells have no entry rule any more",
                expected="a rule on every entry cell",
                todo="Look at the entries of this sheet once more; use paste values only.",
            )


class Areas:
    """The cells that rules of one kind cover."""

    def __init__(self, rules: Iterable[ReturnedValidation], kind: str) -> None:
        self.boxes = [
            range_boundaries(area) for rule in rules if rule.type == kind for area in rule.ranges
        ]

    def __contains__(self, address: str) -> bool:
        column, row, _, _ = range_boundaries(address)
        return any(
            left <= column <= right and top <= row <= bottom
            for left, top, right, bottom in self.boxes
        )
