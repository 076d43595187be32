"""Says once what goes for many cells of one kind: one phone call is one finding."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from validators.findings import Note

if TYPE_CHECKING:
    from validators.checked import Checked

MOST_APART = 3
"""So many cells of one kind are told one by one; more are told together."""

MOST_NAMED = 12


def together(sheet: Checked, notes: Iterable[Note]) -> Iterator[Note]:
    """Yield notes about single cells; more than three of one quantity that are alike become one."""
    groups: dict[tuple[object, ...], list[Note]] = {}
    for note in notes:
        planned = sheet.plan.by_name.get(note.quantity)
        kind = planned.key if planned else note.quantity
        groups.setdefault((kind, note.place.sheet, note.todo, note.severity), []).append(note)
    for (of, *_), members in groups.items():
        if len(members) <= MOST_APART:
            yield from members
        else:
            yield _as_one(sheet, str(of), members)


def _as_one(sheet: Checked, key: str, members: Sequence[Note]) -> Note:
    first = members[0]
    held = {name for note in members for name in note.holds_up}
    order = [name for name in sheet.plan.by_name if name in held]
    of = f" of {len(sheet.plan.by_key[key])}" if key in sheet.plan.by_key else ""
    return replace(
        first,
        quantity=key,
        found=f"{len(members)}{of} cells, the first: {first.found}; "
        f"the others: {addresses([note.place.cell for note in members[1:]])}",
        holds_up=tuple(order),
    )


def addresses(cells: Sequence[str]) -> str:
    """Return some addresses in one line, however many there are."""
    more = f" and {len(cells) - MOST_NAMED} more" if len(cells) > MOST_NAMED else ""
    return ", ".join(cells[:MOST_NAMED]) + more


def counted(number: int, noun: str) -> str:
    """Return a number of things.

    Examples
    --------
    >>> counted(1, "name"), counted(2, "name")
    ('1 name', '2 names')
    """
    return f"{number} {noun}{'' if number == 1 else 's'}"
