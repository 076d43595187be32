"""What moves with a part that goes to another cylinder, and what must then be measured again."""

from __future__ import annotations

from collections.abc import Mapping

from validators.choosing.measured import Measured

WITH_PISTON = (
    "piston_mark",
    "piston_reading",
    "pin_hole_reading",
    "crown_volume",
    "ring_groove_width",
    "retainer_span",
    "piston_mass",
    "lock_mass",
)
WITH_PIN = ("pin_reading", "pin_length", "pin_mass")
WITH_ROD = (
    "rod_mark",
    "bush_reading",
    "rod_housing_reading",
    "rod_width",
    "rod_small_mass",
    "rod_big_mass",
    "rod_total_mass",
    "bolt_free_length",
    "bolt_tight_length",
    "bolt_released_length",
)
OF_THE_PLACE = (
    "deck_reading",
    "rocked_reading",
    "crown_mark",
    "ring_mark_fitted",
    "ring_side_up",
    "piston_front",
    "rings_placed",
    "retainer_count",
    "retainer_seat",
    "fitted_piston",
    "fitted_rod",
)
"""Read, or noted, with these very parts in this very bore."""
OF_THE_PIN_IN_PLACE = ("retainer_count", "retainer_seat")
OF_THE_ROD_IN_PLACE = ("rod_installed_bore",)
STAYS = (
    "bore_present_largest",
    "bore_present_smallest",
    "bore_setting",
    "torque_plate",
    "bore_reading",
    "roughness_ra",
    "roughness_rz",
    "roughness_rpk",
    "roughness_rk",
    "roughness_rvk",
    "rod_shell_upper",
    "rod_shell_lower",
    "rod_wall_upper",
    "rod_wall_lower",
    "ring_mark",
    "ring_gap_reading",
    "rail_gap_reading",
    "ring_width",
    "ring_mass",
    "chamber_volume",
    "lash_reading",
    "shim_present",
    "spring_height",
)
"""Of the bore, the head above it, the rings filed for it and the shells, which are chosen by themselves."""


def moved_entries(
    read: Measured, piston_from: Mapping[int, int], pin_from: Mapping[int, int], rod_from: Mapping[int, int]
) -> dict[str, str]:
    """Return the entries that move with their part: name of the cell to the one it comes from."""
    sources: dict[str, str] = {}
    for keys, origin in ((WITH_PISTON, piston_from), (WITH_PIN, pin_from), (WITH_ROD, rod_from)):
        for number, before in origin.items():
            if number == before:
                continue
            for key in keys:
                for name in _cells(read, key, number):
                    sources[name] = _renumbered(name, key, number, before)
    return sources


def moved_cylinders(*origins: Mapping[int, int]) -> list[int]:
    """Return the cylinders in which another piston or rod stands."""
    return sorted({number for origin in origins for number, before in origin.items() if number != before})


def to_measure_again(
    read: Measured, moved: list[int], rods_moved: list[int], pins_moved: list[int]
) -> list[str]:
    """Return the entries that no longer hold."""
    return [
        name
        for keys, numbers in (
            (OF_THE_PLACE, moved),
            (OF_THE_PIN_IN_PLACE, pins_moved),
            (OF_THE_ROD_IN_PLACE, rods_moved),
        )
        for key in keys
        for number in numbers
        for name in _cells(read, key, number)
    ]


def _cells(read: Measured, key: str, cylinder: int) -> list[str]:
    """Return the cells of a quantity that belong to a cylinder; a rod bolt is told by cylinder and letter."""
    bolts = "rodbolt" in read.plan.catalogue.entries[key].over
    return [
        cell.name
        for cell in read.plan.by_key.get(key, ())
        if (cell.index[0][:-1] if bolts else cell.index[0]) == str(cylinder)
    ]


def _renumbered(name: str, key: str, number: int, before: int) -> str:
    return f"{key}_{before}" + name.removeprefix(f"{key}_{number}")
