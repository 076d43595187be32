"""What parts weigh: from a list, or from the workbook's own weighings."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from validators.choosing.measured import Measured
from validators.choosing.stock_lists import Weighed

ON_THE_SHEET = {"piston": "piston_mass", "pin": "pin_mass", "rod": "rod_small_mass"}
"""A rod counts with its small-end share."""
WITH_THE_PISTON, WITH_THE_BORE = "lock_mass", "ring_mass"
"""Retainers go with their piston; rings were filed for their bore and stay there."""


@dataclass(frozen=True, slots=True)
class Weights:
    """Masses in grams, in the order of the cylinders.

    Attributes
    ----------
    pistons : sequence of float
        What stands in each cylinder once the pistons are placed, with all that does not move apart.
    pins, rods : sequence of float
        By the cylinder that each is listed for.
    guard : float
        Expanded uncertainty of the difference of two sums, nan where it is not known.
    upper : float
        Spread up to which the masses count as matched already, nan where only the smallest will do.
    told : tuple of str
        What was taken for granted.
    """

    pistons: list[float]
    pins: list[float]
    rods: list[float]
    guard: float
    upper: float = math.nan
    told: tuple[str, ...] = ()


def piston_marks(read: Measured, piston_from: Mapping[int, int]) -> dict[int, str]:
    """Return the mark of the piston that stands in each cylinder once they are placed."""
    return {n: read.mark(f"piston_mark_{piston_from.get(n, n)}") for n in read.cylinders}


def rod_marks(read: Measured) -> dict[int, str]:
    """Return the mark of the rod that is listed for each cylinder."""
    return {n: read.mark(f"rod_mark_{n}") for n in read.cylinders}


def from_list(
    read: Measured, weighed: Mapping[str, Weighed], piston_from: Mapping[int, int]
) -> tuple[Weights | None, list[str]]:
    """Return the weights by a list of masses, or None and what is missing."""
    marks = {
        "piston": piston_marks(read, piston_from),
        "pin": {n: str(n) for n in read.cylinders},
        "rod": rod_marks(read),
    }
    left_out: list[str] = []
    for kind, of_kind in marks.items():
        for n, mark in of_kind.items():
            if not mark:
                left_out.append(f"cylinder {n}: its {kind} has no mark in the workbook")
            elif mark.casefold() not in weighed[kind].masses:
                called = f"of cylinder {mark}" if kind == "pin" else mark
                left_out.append(f"{kind} {called}: not in the list of masses")
        doubled = {mark for mark in of_kind.values() if mark and list(of_kind.values()).count(mark) > 1}
        left_out += [f"{kind} {mark}: this mark is there twice" for mark in sorted(doubled)]
    if left_out:
        return None, left_out
    masses, guards = {}, []
    for kind, of_kind in marks.items():
        masses[kind] = [weighed[kind].masses[mark.casefold()] for mark in of_kind.values()]
        told = [weighed[kind].uncertainties.get(mark.casefold(), math.nan) for mark in of_kind.values()]
        guards.append(math.nan if any(map(math.isnan, told)) else max(told))
    guard = math.sqrt(2 * sum(value**2 for value in guards))
    return Weights(masses["piston"], masses["pin"], masses["rod"], guard), []


def weighed_on_the_sheet(read: Measured) -> bool:
    """Return whether anything that moves was weighed, as far as the workbook says."""
    return any(
        read.sheet.values.get(f"{key}_{n}") is not None
        for key in ON_THE_SHEET.values()
        for n in read.cylinders
    )


def from_sheet(read: Measured, piston_from: Mapping[int, int]) -> tuple[Weights | None, list[str]]:
    """Return the weights by the sheet of masses, or None and what is missing."""
    masses: dict[str, dict[int, float]] = {}
    left_out: list[str] = []
    told: list[str] = []
    for key in (*ON_THE_SHEET.values(), WITH_THE_PISTON, WITH_THE_BORE):
        found = {n: read.number(f"{key}_{n}") for n in read.cylinders}
        absent = [f"{key}_{n}" for n, value in found.items() if value is None]
        blank = all(read.sheet.values.get(f"{key}_{n}") is None for n in read.cylinders)
        if blank and key not in ON_THE_SHEET.values():
            label = read.plan.catalogue.entries[key].label.lower()
            told.append(f"{label}: not weighed, and taken to be equal everywhere")
        else:
            left_out += map(read.why, absent)
        masses[key] = {n: value or 0.0 for n, value in found.items()}
    if left_out:
        return None, list(dict.fromkeys(left_out))
    pistons = [
        masses["piston_mass"][stands] + masses[WITH_THE_PISTON][stands] + masses[WITH_THE_BORE][n]
        for n in read.cylinders
        for stands in (piston_from.get(n, n),)
    ]
    # The sheet gives the uncertainty of the difference of two weighings; a sum has one for each part.
    single = read.number("mass_guard")
    parts = len(masses) - len(told)
    upper, of_spread = (read.number(f"reciprocating_spread_{what}") for what in ("upper", "guard_used"))
    return Weights(
        pistons,
        list(masses["pin_mass"].values()),
        list(masses["rod_small_mass"].values()),
        math.nan if single is None else single * math.sqrt(parts),
        math.nan if upper is None or of_spread is None else upper - of_spread,
        tuple(told),
    ), []
