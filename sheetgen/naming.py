"""Names of cells and ranges, and the way from a template's words to them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from sheetgen.assembly import all_steps
from sheetgen.build import BuildDefinition
from sheetgen.catalogue import Catalogue, Entry
from sheetgen.errors import DefinitionError, nearest
from sheetgen.layout import Index

PLACEHOLDER = re.compile(r"\{(@?[a-z][a-z0-9_]*)(?:\[([^\]]*)\])?\}")
ALL = "*"


def element_name(key: str, index: Index) -> str:
    """Return the defined name of one cell, or of a range where an index is ``*``.

    Examples
    --------
    >>> element_name("bore_reading", ("3", "top", "thrust"))
    'bore_reading_3_top_thrust'
    >>> element_name("bore_size", ("3", "*", "thrust"))
    'bore_size_3_all_thrust'
    """
    return "_".join((key, *("all" if label == ALL else label for label in index)))


def element_label(entry: Entry, index: Index, catalogue: Catalogue) -> str:
    """Return what a person calls one element: label and place.

    Examples
    --------
    >>> from sheetgen.catalogue import load_catalogue
    >>> catalogue = load_catalogue()
    >>> element_label(catalogue.entries["bore_reading"], ("3", "top", "thrust"), catalogue)
    'Bore, cylinder 3, top, thrust axis'
    """
    parts = [entry.label]
    for axis, label in zip(entry.over, index, strict=True):
        told = catalogue.axes[axis].elements.get(label)
        parts.append(told if told else f"{catalogue.axes[axis].label} {_in_speech(axis, label)}")
    return ", ".join(parts)


def _in_speech(axis: str, label: str) -> str:
    """Return what a person calls an element that has no words of its own in the catalogue."""
    if axis == "task":
        return next((f"'{step.title}'" for step in all_steps() if step.key == label), label)
    return label.replace("_", " ")


@dataclass(frozen=True, slots=True)
class Names:
    """Resolves placeholders for one build; `place` is where the formula stands, for messages."""

    build: BuildDefinition
    catalogue: Catalogue

    def related(self, loop: Mapping[str, str]) -> dict[str, str]:
        """Return the loop's axes and those that follow from them."""
        bound = dict(loop)
        layout, relations = self.build.layout, self.catalogue.relations
        if "rodbolt" in loop:
            bound.setdefault("cylinder", loop["rodbolt"][:-1])
        if "cylinder" in loop:
            bound["@first"], bound["@second"] = f"{loop['cylinder']}a", f"{loop['cylinder']}b"
            number = int(loop["cylinder"]) - 1
            bound.setdefault("crankpin", str(layout.crankpin_of[number]))
            bound.setdefault("bank", str(layout.bank_of[number]))
        if "sized" in loop:
            bound.setdefault("feature", loop["sized"])
            bound.setdefault("body", relations["body_of_sized"][loop["sized"]])
        if "shellpair" in loop:
            number = int(loop["shellpair"]) - 1
            bound["@upper"], bound["@lower"] = map(str, layout.shell_pairs[number])
        if "gappair" in loop:
            bound["@one"] = relations["one_of_pair"][loop["gappair"]]
            bound["@other"] = relations["other_of_pair"][loop["gappair"]]
        if "jointpair" in loop:
            bound["@one"], bound["@other"] = loop["jointpair"], "joint"
        if "ring" in loop:
            bound["@ring"] = loop["ring"]
        if "fit" in loop:
            bound["@hole"] = relations["hole_of_fit"][loop["fit"]]
            bound["@shaft"] = relations["shaft_of_fit"][loop["fit"]]
        return bound

    def target(self, key: str, spec: str | None, loop: Mapping[str, str], place: str) -> tuple[str, Index]:
        """Return quantity and index that a placeholder means at this turn of the loop."""
        return self.target_at(key, spec, self.related(loop), place)

    def target_at(
        self, key: str, spec: str | None, bound: Mapping[str, str], place: str
    ) -> tuple[str, Index]:
        """Return the same where what follows from the loop's axes is known already."""
        if key not in self.catalogue.entries:
            raise DefinitionError(place, f"unknown quantity '{key}'{nearest(key, self.catalogue.entries)}")
        entry = self.catalogue.entries[key]
        chosen: dict[str, str] = {}
        open_axes = ""
        for part in (spec or "").split(","):
            part = part.strip()
            if part == ALL:
                open_axes = ALL
            elif part:
                axis, _, label = part.partition("=")
                if axis not in entry.over:
                    raise DefinitionError(place, f"{key} has no axis '{axis}'{nearest(axis, entry.over)}")
                chosen[axis] = bound[label] if label.startswith("@") else label
        index = []
        for axis in entry.over:
            label = chosen.get(axis, bound.get(axis, open_axes))
            if not label:
                raise DefinitionError(place, f"{{{key}}} leaves its axis '{axis}' open")
            index.append(label)
        return key, tuple(index)
