"""Entry rules were lost.

What it finds: entry cells that no longer check what is typed.
Why it matters: pasting takes the rule away, so a slip is no longer stopped where it happens.
Example: the bore readings of cylinder 3 accept anything.
What to do: look at these entries once more. The numbers are checked here all the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from openpyxl.utils import range_boundaries

from sheetgen.rules import entry_rule
from validators.checked import Checked
from validators.findings import Note, Severity
from validators.places import read_address
from validators.returned import ReturnedValidation
from validators.together import addresses

CODE = "CELL07"
NAME = "entry-rule-lost"
SEVERITY = Severity.INFORMATION
KINDS = {"decimal": "decimal", "list": "list", "date": "date", "length": "textLength"}
MOST_KNOWN = 60
_known: dict[int, tuple[tuple[ReturnedValidation, ...], Mapping[str, Areas]]] = {}
"""By identity of the rules, which are kept so that no others can have it."""



def find(sheet: Checked) -> Iterator[Note]:
    """Look whether every entry cell is still covered by a rule of its kind, once per sheet."""
    kinds: dict[str, str] = sheet.plan.kept.setdefault("kinds of entry rules", {})
    still, standing = sheet.places.nothing_moved, sheet.cells
    for title, cells in sheet.recompute.fixed.lockable.items():
        held = sheet.places.sheet(title)
        if held is None:
            continue
        covered = _covered(held.validations)
        bare = []
        for key, cell in cells:
            if not cell.is_input or standing[key] is None or cell.name in sheet.astray:
                continue
            if cell.key not in kinds:
                kinds[cell.key] = KINDS[entry_rule(sheet.plan, cell.key)["validate"]]
            if still:
                in_place, address = True, cell.address
            else:
                located = sheet.located[cell.name]
                in_place, address = located.sheet == held.title, located.address
            if not in_place or address not in covered[kinds[cell.key]]:
                bare.append(cell)
        if bare:
            told = addresses([sheet.place(cell).cell for cell in bare])
            yield Note(
                place=sheet.place(bare[0]),
                quantity=bare[0].name,
                found=f"{len(bare)} entry cells have no entry rule any more: {told}" if len(bare) > 1
                else "the entry cell has no entry rule any more",
                expected="a rule on every entry cell",
                todo="Look at these entries once more, and use paste values only.",
            )


def _covered(rules: tuple[ReturnedValidation, ...]) -> Mapping[str, Areas]:
    """Return the cells that rules cover, by kind; for rules that were read before, what was found then."""
    known = _known.get(id(rules))
    if known is None or known[0] is not rules:
        if len(_known) >= MOST_KNOWN:
            _known.clear()
        known = _known[id(rules)] = rules, {kind: Areas(rules, kind) for kind in KINDS.values()}
    return known[1]


class Areas:
    """The cells that rules of one kind cover."""

    def __init__(self, rules: Iterable[ReturnedValidation], kind: str) -> None:
        self.told: dict[str, bool] = {}
        self.single: set[tuple[int, int]] = set()
        self.boxes: list[tuple[int, int, int, int]] = []
        for rule in rules:
            if rule.type != kind:
                continue
            for area in rule.ranges:
                try:
                    left, top, right, bottom = range_boundaries(area)
                except (ValueError, TypeError):
                    continue  # no range at all: it covers nothing
                if None in (left, top, right, bottom):
                    continue
                if (left, top) == (right, bottom):
                    self.single.add((top, left))
                else:
                    self.boxes.append((left, top, right, bottom))

    def __contains__(self, address: str) -> bool:
        if address not in self.told:
            row, column = read_address(address)
            self.told[address] = (row, column) in self.single or any(
                left <= column <= right and top <= row <= bottom for left, top, right, bottom in self.boxes
            )
        return self.told[address]
