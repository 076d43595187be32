"""A layout: how many of everything an engine has, what sits on what, and the labels that follow."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from sheetgen.assembly import steps_for
from sheetgen.catalogue import Catalogue, Entry
from sheetgen.errors import DefinitionError
from sheetgen.sources import TEMPLATES, read_toml

LAYOUTS = ("inline", "v", "flat")
MOST_CYLINDERS = 12
MOST_GROUPS = 12

Index = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Layout:
    """How many of everything there is, and what sits on what."""

    kind: str
    bank_of: tuple[int, ...]
    crankpin_of: tuple[int, ...]
    mains: int
    bank_angle: float
    throws: tuple[float, ...]
    shell_grades: int
    fastener_groups: int = 4

    @property
    def cylinders(self) -> int:
        """Number of cylinders."""
        return len(self.bank_of)

    @property
    def crankpins(self) -> int:
        """Number of crankpins."""
        return max(self.crankpin_of)

    @property
    def banks(self) -> int:
        """Number of banks."""
        return max(self.bank_of)

    @property
    def name(self) -> str:
        """The layout as a person writes it.

        Examples
        --------
        >>> Layout("inline", (1, 1, 1), (1, 2, 3), 4, 0.0, (), 3).name
        'inline-3'
        """
        return f"{'V' if self.kind == 'v' else self.kind}-{self.cylinders}".replace("V-", "V")

    @property
    def shell_pairs(self) -> list[tuple[int, int]]:
        """Upper and lower grade of every pair of shells: equal halves first, then the thinner upper first.

        Of pairs that give one clearance the first is picked, so an odd pair only where it helps.
        """
        grades = range(1, self.shell_grades + 1)
        pairs = [(upper, lower) for upper in grades for lower in grades]
        return sorted(pairs, key=lambda pair: (pair[0] != pair[1], pair))

    def labels(self, axis: str, catalogue: Catalogue) -> tuple[str, ...]:
        """Return the element labels of an axis, as they stand in names."""
        if axis == "task":
            return tuple(step.key for step in steps_for(self.kind))
        fixed = catalogue.axes[axis].elements
        if fixed:
            return tuple(fixed)
        if axis == "item":
            return tuple(key.removesuffix("_verdict") for key in catalogue.items)
        if axis == "boltclass":
            return tuple(f"k{number}" for number in range(1, len(bolt_classes()) + 1))
        if axis == "rodbolt":
            return tuple(f"{n}{bolt}" for n in range(1, self.cylinders + 1) for bolt in "ab")
        if axis == "material":
            return tuple(f"m{number}" for number in range(1, len(materials()) + 1))
        counts = {
            "cylinder": self.cylinders,
            "crankpin": self.crankpins,
            "main": self.mains,
            "bank": self.banks,
            "grade": self.shell_grades,
            "shellpair": self.shell_grades**2,
            "joint": self.fastener_groups,
        }
        return tuple(str(number) for number in range(1, counts[axis] + 1))


@cache
def materials() -> tuple[Mapping[str, Any], ...]:
    """Return the material table of the constants, in order."""
    return tuple(read_toml(TEMPLATES / "constants.toml")["material"])


@cache
def bolt_classes() -> tuple[Mapping[str, Any], ...]:
    """Return the strength classes of the constants, in order."""
    return tuple(read_toml(TEMPLATES / "constants.toml")["bolt_class"])


LISTED = {"material_name": materials, "bolt_class_name": bolt_classes}
"""Lists that an entry is chosen from, by the constant that prints them."""


def indices(entry: Entry, layout: Layout, catalogue: Catalogue) -> list[Index]:
    """Return every index of a quantity, in catalogue order."""
    places: list[Index] = [()]
    for axis in entry.over:
        labels = stage_labels(catalogue) if axis == "stage" else layout.labels(axis, catalogue)
        places = [(*place, label) for place in places for label in labels]
    return places


def stage_labels(catalogue: Catalogue) -> tuple[str, ...]:
    """Return the stems of the sheets that are counted for missing entries."""
    return tuple(stem for stem in _stages() if stem not in catalogue.left_out)


@cache
def _stages() -> tuple[str, ...]:
    listed = read_toml(TEMPLATES / "workbook.toml")["sheet"]
    return tuple(sheet["stem"] for sheet in listed if sheet.get("stage"))


def check_layout(where: str, layout: Layout) -> None:
    """Refuse a layout that cannot be.

    Raises
    ------
    DefinitionError
        More or fewer of something than is possible.
    """
    if layout.kind not in LAYOUTS or not 1 <= layout.cylinders <= MOST_CYLINDERS:
        raise DefinitionError(where, "the layout has 1 to 12 cylinders, inline, v or flat")
    if len(layout.crankpin_of) != layout.cylinders:
        raise DefinitionError(where, "each cylinder has one crankpin")
    if set(layout.bank_of) not in ({1}, {1, 2}):
        raise DefinitionError(where, "banks are numbered 1 and 2")
    pins = layout.crankpin_of
    if set(pins) != set(range(1, max(pins) + 1)):
        raise DefinitionError(where, "crankpins are numbered from 1 without a gap")
    if max(pins.count(pin) for pin in pins) > 2:
        raise DefinitionError(where, "a crankpin carries one or two rods")
    if layout.throws and len(layout.throws) != layout.crankpins:
        raise DefinitionError(where, f"throws has {layout.crankpins} angles, one per crankpin")
    if not 1 <= layout.mains <= 25 or not 1 <= layout.shell_grades <= 5:
        raise DefinitionError(where, "1 to 25 main bearings and 1 to 5 shell grades are possible")
    if not 1 <= layout.fastener_groups <= MOST_GROUPS:
        raise DefinitionError(where, f"1 to {MOST_GROUPS} groups of other fasteners are possible")
