"""What moves with a part that goes to another cylinder, and what must then be measured again."""

from __future__ import annotations

from collections.abc import Mapping

from validators.choosing.measured import Measured

WITH_PISTON = ("piston_mark", "piston_reading", "pin_hole_reading", "crown_volume")
WITH_PIN = ("pin_reading",)
WITH_ROD = ("rod_mark", "bush_reading", "rod_housing_reading", "rod_width")
OF_THE_PLACE = ("deck_reading", "rocked_reading", "crown_mark")
"""Read with these very parts in this very bore."""
OF_THE_ROD_IN_PLACE = ("rod_installed_bore",)


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


def to_measure_again(read: Measured, moved: list[int], rods_moved: list[int]) -> list[str]:
    """Return the entries that no longer hold."""
    return [
        name
        for keys, numbers in ((OF_THE_PLACE, moved), (OF_THE_ROD_IN_PLACE, rods_moved))
        for key in keys
        for number in numbers
        for name in _cells(read, key, number)
    ]


def _cells(read: Measured, key: str, cylinder: int) -> list[str]:
    return [cell.name for cell in read.plan.by_key[key] if cell.index[0] == str(cylinder)]


def _renumbered(name: str, key: str, number: int, before: int) -> str:
    return f"{key}_{before}" + name.removeprefix(f"{key}_{number}")
