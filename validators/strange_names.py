"""Names that should be chosen from a list which the sheet itself holds, and are not in it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sheetgen.plan import PlannedCell
from validators.marks import Mark, same_mark

if TYPE_CHECKING:
    from validators.checked import Checked

MATERIAL, ROD = "body_material", "rod"
OWN_FIGURES = {
    "bolt_class": ("bolt_proof_own", "bolt_yield_own"),
    "joint_sleeve_material": ("joint_sleeve_modulus_{place}",),
}
"""Names, and the figures that count before what they stand for, when all of them are typed."""


@dataclass(frozen=True, slots=True)
class StrangeName:
    """A name that is not in its list: what the list holds, and whether a typed figure makes up for it."""

    allowed: tuple[Mark, ...]
    overridden: bool


def find_strange_names(sheet: Checked) -> dict[str, StrangeName]:
    """Return the materials, strength classes and shell grades that are not in their list, by cell name."""
    found: dict[str, StrangeName] = {}
    lists: dict[str, tuple[Mark, ...]] = {}
    for name, reading in sheet.entries.items():
        wanted = sheet.plan.catalogue.entries[reading.planned.key].list
        if not wanted or reading.value is None or reading.fault:
            continue
        if wanted not in lists:
            lists[wanted] = _listed(sheet, wanted)
        if not any(same_mark(reading.value, word) for word in lists[wanted]):
            found[name] = StrangeName(lists[wanted], _is_overridden(sheet, reading.planned))
    return found


def _listed(sheet: Checked, key: str) -> tuple[Mark, ...]:
    found = (sheet.values.get(c.name) if c.is_input else c.value for c in sheet.plan.by_key[key])
    return tuple(word for word in found if word is not None)


def _is_overridden(sheet: Checked, cell: PlannedCell) -> bool:
    """Return whether figures are typed that count before what the name stands for."""
    place = "_".join(cell.index)
    if cell.key == MATERIAL:
        own = [f"body_expansion_own_{place}", *(["rod_modulus_own"] if place == ROD else [])]
        return all(isinstance(sheet.values.get(name), float) for name in own)
    if cell.key in OWN_FIGURES:
        own = [name.format(place=place) for name in OWN_FIGURES[cell.key]]
        return all(isinstance(sheet.values.get(name), float) for name in own)
    bearing, _, half = cell.key.split("_")
    walls = (f"{bearing}_wall_{half}_{place}", f"{bearing}_installed_bore_{place}")
    return any(isinstance(sheet.values.get(name), float) for name in walls)
