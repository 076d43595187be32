"""Digits where they decide: a figure so near its limit that rounding would hide the verdict shows more.

A cell holds every digit, and a verdict is found from all of them, at nine decimals.  What is printed is
rounded.  A figure can lead a reader to another word than the verdict's only where it lies so near one of the
four edges, each limit less or more the uncertainty, that what rounding takes away reaches the edge.  There a
conditional number format shows two digits more, and where that is not enough, twelve decimals.  It is the
look alone that changes: no formula rounds what is shown, and no cell is added.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sheetgen.catalogue import EXACT, FAMILIES, Measure
from sheetgen.look import AIR, look
from sheetgen.naming import element_name
from sheetgen.plan import Plan
from sheetgen.planned import PlannedCell

MORE, MOST = 2, 12
"""Decimals that are added first, and decimals that are always enough for a comparison at nine."""

COMPARED = 1e-9
GUARD_COLUMN = 8
"""Where a row of limits shows the uncertainty that is used."""

RING_GAP, RING_GUARD = "ring_gap_used", "plain_guard_ring_gap"
OTHERS = {
    "hone_stock_left": ("0", "clean_up_allowance"),
    "rock_ratio": ("rock_ratio_lowest", "rock_ratio_highest"),
}
"""Further figures from whose comparison with two others a word follows."""

RING_SHOWN = ("ring_gap_reading", RING_GAP, "ring_gap_least", "ring_gap_most")
"""The gap as typed and as it counts, and what it is held against."""


@dataclass(frozen=True, slots=True)
class Telling:
    """A rule of one cell: the condition, and the number format where it holds.

    The rules of one cell come in the order in which they count: the first that holds gives the format.
    """

    cell: PlannedCell
    condition: str
    number_format: str


@dataclass(frozen=True, slots=True)
class _Judged:
    """One figure with its limits and its guard, each as it is written in a condition."""

    cell: PlannedCell
    value: str
    limits: tuple[str, str]
    guard: str
    beside: tuple[PlannedCell, ...]
    """Other cells that must show as many digits for this figure."""


def decimals_of(plan: Plan, key: str) -> int:
    """Return how many decimals a quantity is shown with."""
    measure = plan.catalogue.measure_of(key)
    assert measure is not None, key
    return _decimals(measure, plan.build.family)


def _decimals(measure: Measure, family: str) -> int:
    return measure.decimals[FAMILIES.index(family)]


def told_digits(decimals: int, *, signed: bool, level: int) -> str:
    """Return the number format of a level: 1 adds two decimals, 2 shows as many as there are up to twelve.

    Examples
    --------
    >>> told_digits(3, signed=False, level=1), told_digits(4, signed=True, level=2)
    ('0.00000_-', '+0.000000######_-;-0.000000######_-;0.000000######_-')
    """
    digits = "0." + "0" * (decimals + MORE) + ("#" * (MOST - decimals - MORE) if level == 2 else "") + AIR
    return f"+{digits};-{digits};{digits}" if signed else digits


def reach(decimals: Sequence[int], level: int) -> float:
    """Return how far rounding can move a figure against its edges, if these are the decimals of both.

    Examples
    --------
    >>> round(reach((3, 4), 1), 12), round(reach((3, 4), 2), 12)
    (0.000550001, 5.501e-06)
    """
    more = 0 if level == 1 else MORE
    return sum(0.5 * 10.0 ** -(places + more) for places in decimals) + COMPARED


def near(judged: _Judged, far: float) -> str:
    """Return the condition that a figure lies so near one of its four edges."""
    return "OR(" + ",".join(
        f"ABS(ABS({judged.value}-{limit})-{judged.guard})<={far:.12f}".rstrip("0") for limit in judged.limits
    ) + ")"


def told(plan: Plan) -> Iterator[Telling]:
    """Yield the rules of every cell whose digits a verdict may need, the rules of a cell in their order."""
    by_cell: dict[tuple[str, str], list[tuple[PlannedCell, list[str], list[str]]]] = {}
    for judged, decimals in _all_judged(plan):
        levels = [near(judged, reach(decimals, level)) for level in (1, 2)]
        for cell in (judged.cell, *judged.beside):
            _, *found = by_cell.setdefault((cell.sheet, cell.address), [(cell, [], [])])[0]
            for conditions, condition in zip(found, levels, strict=True):
                conditions.append(condition)
    signed = look()["numbers"]["signed"]
    for members in by_cell.values():
        cell, first, second = members[0]
        places = decimals_of(plan, cell.key)
        for level, conditions in ((2, second), (1, first)):
            form = told_digits(places, signed=cell.key in signed, level=level)
            for condition in conditions:
                yield Telling(cell, condition, form)


def _all_judged(plan: Plan) -> Iterator[tuple[_Judged, tuple[int, ...]]]:
    entries = plan.catalogue.entries
    guards = {
        (cell.sheet, cell.row): cell
        for cell in plan.cells
        if cell.role == "working" and cell.column == GUARD_COLUMN
    }
    for key in plan.catalogue.limited:
        entry, floor = entries[key], plan.by_name[f"{key}_floor"]
        ceiling, shown = plan.by_name[f"{key}_ceiling"], guards.get((floor.sheet, floor.row))
        for cell in plan.by_key[key]:
            decimals: tuple[int, ...] = (decimals_of(plan, key),)
            beside: tuple[PlannedCell, ...] = ()
            guard = "0"
            if entry.guard != EXACT:
                of_cell = shown or plan.by_name[element_name(entry.guard, cell.index)]
                guard, beside = _reference(of_cell, cell), (of_cell,)
                decimals = (*decimals, decimals_of(plan, of_cell.key))
            limits = (_reference(floor, cell), _reference(ceiling, cell))
            yield _Judged(cell, cell.address, limits, guard, beside), decimals
    for key, bounds in OTHERS.items():
        for cell in plan.by_key[key]:
            # What is typed or a constant is shown with every digit that counts.
            yield _Judged(cell, cell.address, bounds, "0", ()), (decimals_of(plan, key),)
    rails = plan.by_name["rail_gap_reading_floor"]
    guard_cell = guards[rails.sheet, rails.row]
    for cell in plan.by_key[RING_GAP]:
        shown_cells = [plan.by_name[element_name(key, cell.index)] for key in RING_SHOWN]
        limits = (shown_cells[2].address, shown_cells[3].address)
        places = decimals_of(plan, RING_GAP)
        yield (
            _Judged(cell, cell.address, limits, RING_GUARD, (shown_cells[0], *shown_cells[2:], guard_cell)),
            (places, places, decimals_of(plan, "plain_guard")),
        )


def _reference(cell: PlannedCell, seen_from: PlannedCell) -> str:
    """Return how a cell is referred to: by its address on the same sheet, by its name from another."""
    if cell.sheet == seen_from.sheet:
        return cell.address
    assert cell.name, f"{cell.sheet}!{cell.address} has no name"
    return cell.name
